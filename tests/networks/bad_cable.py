"""
A bad cable: carries ethernet frames between two TAP interfaces, both made here, and spoils them on the way.

    bad_cable.py NEAR FAR SEED

Says "ready" once both are there. Each line of standard input is a JSON object and sets how the cable is from now on (what is
absent is well); it is answered by a line with what was counted since the one before. Keys, each for either direction:

    loss, reorder, duplicate   chances from 0 to 1
    delayMs                    every frame comes so much later
    heldMs                     a frame that is reordered comes so much later still
    mtu                        longest IPv4 packet; longer ones disappear without a word
    mutedMacs                  frames from these are lost
    tarpits                    IPv4 addresses that take every TCP call and let nobody send (window 0), here on the cable
    proxyMac                   answers every ARP question of the near side with this hardware address

Draws come from one generator for each direction, in the order in which frames come in.
"""

import fcntl
import heapq
import json
import os
import random
import select
import struct
import sys
import time

# Linux if_tun.h
TUNSETIFF = 0x400454CA
IFF_TAP = 0x0002
IFF_NO_PI = 0x1000
MOST_OCTETS = 65_536
ETHERNET = 14


def tap(name):
    fd = os.open("/dev/net/tun", os.O_RDWR | os.O_NONBLOCK)
    fcntl.ioctl(fd, TUNSETIFF, struct.pack("16sH22x", name.encode(), IFF_TAP | IFF_NO_PI))
    return fd


def checksum(octets):
    if len(octets) % 2:
        octets += b"\0"
    total = sum(struct.unpack(f"!{len(octets) // 2}H", octets))
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return 0xFFFF - total


def octets_of(mac):
    return bytes.fromhex(mac.replace(":", ""))


def stuck(frame, tarpits):
    """What a tarpit says to a TCP segment for one of its addresses, or None (RFC 791 section 3.1, RFC 9293 section 3.1)."""
    if frame[12:14] != b"\x08\x00" or frame[23] != 6 or frame[30:34] not in tarpits:
        return None
    head = ETHERNET + (frame[14] & 15) * 4
    if len(frame) < head + 20:
        return b""
    source, target, sequence, acknowledged = struct.unpack("!HHII", frame[head : head + 12])
    flags = frame[head + 13]
    if flags & 0x04:
        return b""
    syn = flags & 0x02
    if not syn and not (flags & 0x01) and len(frame) - head <= (frame[head + 12] >> 4) * 4:
        return b""
    # SYN and ACK with a window of nothing; to whatever comes later, FIN too, the same acknowledgement: nothing got in.
    tcp = struct.pack(
        "!HHIIBBHHH", target, source, 1 if syn else acknowledged, (sequence + 1 if syn else sequence) & 0xFFFFFFFF,
        0x50, 0x12 if syn else 0x10, 0, 0, 0,
    )  # fmt: skip
    pseudo = frame[30:34] + frame[26:30] + struct.pack("!BBH", 0, 6, len(tcp))
    tcp = tcp[:16] + struct.pack("!H", checksum(pseudo + tcp)) + tcp[18:]
    ip = struct.pack("!BBHHHBBH", 0x45, 0, 40, 0, 0x4000, 64, 6, 0) + frame[30:34] + frame[26:30]
    ip = ip[:10] + struct.pack("!H", checksum(ip)) + ip[12:]
    return frame[6:12] + frame[0:6] + b"\x08\x00" + ip + tcp


def spoken_for(frame, mac, own):
    """The answer of a proxy to an ARP question (RFC 826, RFC 1027), or None. `own`: addresses of the near side."""
    if frame[12:14] != b"\x08\x06" or frame[20:22] != b"\0\1":
        return None
    asker, wanted = frame[28:32], frame[38:42]
    own.add(asker)
    # Nobody answers a probe for an address that is being taken up (RFC 5227), nor for the asker's own.
    if asker == b"\0\0\0\0" or wanted in own:
        return None
    return frame[6:12] + mac + b"\x08\x06" + frame[14:20] + b"\0\2" + mac + wanted + frame[22:28] + asker


class Cable:
    def __init__(self, near, far, seed):
        self.near, self.far = near, far
        self.draws = {near: random.Random(seed), far: random.Random(seed + 1)}
        self.waiting, self.count, self.own = [], 0, set()
        self.set({})

    def set(self, how):
        self.how = how
        self.muted = [octets_of(mac) for mac in how.get("mutedMacs", [])]
        self.tarpits = [bytes(map(int, one.split("."))) for one in how.get("tarpits", [])]
        self.proxy = octets_of(how["proxyMac"]) if "proxyMac" in how else None
        self.seen = {"carried": 0, "lost": 0, "late": 0, "doubled": 0, "tooLong": 0}

    def take(self, fd):
        try:
            frame = os.read(fd, MOST_OCTETS)
        except OSError:
            return
        other = self.far if fd == self.near else self.near
        answer = self.answer_itself(frame) if fd == self.near else None
        if answer is not None:
            if answer:
                self.carry(frame=answer, to=self.near, draw=self.draws[fd])
            return
        if frame[6:12] in self.muted:
            self.seen["lost"] += 1
            return
        if frame[12:14] == b"\x08\x00" and len(frame) - ETHERNET > self.how.get("mtu", MOST_OCTETS):
            self.seen["tooLong"] += 1
            return
        self.carry(frame, other, self.draws[fd])

    def answer_itself(self, frame):
        if self.tarpits:
            said = stuck(frame, self.tarpits)
            if said is not None:
                return said
        return None if self.proxy is None else spoken_for(frame, self.proxy, self.own)

    def carry(self, frame, to, draw):
        if draw.random() < self.how.get("loss", 0):
            self.seen["lost"] += 1
            return
        copies = 1
        if draw.random() < self.how.get("duplicate", 0):
            copies = 2
            self.seen["doubled"] += 1
        for _ in range(copies):
            due = time.monotonic() + self.how.get("delayMs", 0) / 1000
            if draw.random() < self.how.get("reorder", 0):
                due += self.how.get("heldMs", 50) / 1000
                self.seen["late"] += 1
            self.count += 1
            heapq.heappush(self.waiting, (due, self.count, to, frame))

    def deliver(self):
        now = time.monotonic()
        while self.waiting and self.waiting[0][0] <= now:
            _, _, fd, frame = heapq.heappop(self.waiting)
            self.seen["carried"] += 1
            try:
                os.write(fd, frame)
            except OSError:
                # The interface is down, or its queue is full: a frame less.
                pass
        return None if not self.waiting else max(0, self.waiting[0][0] - now)


def main():
    near, far = tap(sys.argv[1]), tap(sys.argv[2])
    cable = Cable(near, far, int(sys.argv[3]))
    print("ready", flush=True)
    rest = b""
    while True:
        ready, _, _ = select.select([near, far, 0], [], [], cable.deliver())
        for fd in ready:
            if fd != 0:
                cable.take(fd)
                continue
            said = os.read(0, MOST_OCTETS)
            if not said:
                return
            *lines, rest = (rest + said).split(b"\n")
            for line in lines:
                seen = cable.seen
                cable.set(json.loads(line))
                print(json.dumps(seen), flush=True)


main()
