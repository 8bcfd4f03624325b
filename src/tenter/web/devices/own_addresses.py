"""Which addresses on the room's network this machine has. Nobody is asked: no name server, no router."""

import fcntl
import ipaddress
import socket
import struct
from contextlib import suppress

_GET_ADDRESS = 0x8915  # SIOCGIFADDR of Linux's netdevice(7)
_REQUEST, _ADDRESS_AT = struct.Struct("256s"), slice(20, 24)  # of its answer, struct ifreq with a sockaddr_in
_LONGEST_NAME = 15  # of an interface
_NOBODY = ("192.0.2.1", 9)  # RFC 5737: for documentation. A UDP socket that is pointed there sends nothing


def own_addresses() -> list[str]:
    """Return the IPv4 addresses of this machine that only the room's network reaches, in order.

    An address of the whole internet is never among them, nor one that only this machine itself reaches.
    """
    found = {address for _, name in socket.if_nameindex() if (address := _of_interface(name))} or _by_route()
    return sorted(filter(_is_of_a_room, found), key=ipaddress.ip_address)


def _of_interface(name: str) -> str:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            answer = fcntl.ioctl(asking, _GET_ADDRESS, _REQUEST.pack(name.encode()[:_LONGEST_NAME]))
        except OSError:  # it has none, or the system is another one
            return ""
    return socket.inet_ntoa(answer[_ADDRESS_AT])


def _by_route() -> set[str]:
    """Return the address by which this machine would speak to others, where the system does not list them."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking, suppress(OSError):
        asking.connect(_NOBODY)
        return {str(asking.getsockname()[0])}
    return set()


def _is_of_a_room(address: str) -> bool:
    at = ipaddress.ip_address(address)
    return at.is_private and not (at.is_loopback or at.is_link_local or at.is_unspecified or at.is_multicast)
