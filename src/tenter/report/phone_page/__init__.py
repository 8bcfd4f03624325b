"""What a client carries on the phone: a page that works without a network, and a picture for the lock screen."""
