"""The program's way of hashing passwords at a price that a thousand invented logins can pay."""

from django.contrib.auth.hashers import Argon2PasswordHasher


class QuickArgon2(Argon2PasswordHasher):
    """Argon2 with the least of time and memory. Never for a real password."""

    time_cost = 1
    memory_cost = 8
    parallelism = 1
