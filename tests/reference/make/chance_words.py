#!/usr/bin/env python3
"""Makes tests/reference/chance_words.csv: words of the draw's generator by a second implementation.

Key: BLAKE2b-256 keyed with the seed, salt = purpose (8 bytes, little endian), personal = "oddplate", empty message.
Words: the ChaCha20 keystream (block function of RFC 8439, written out below) with the lane as 8-byte nonce and a 64-bit block
counter from 0, read as little-endian 32-bit words.

    python3 tests/reference/make/chance_words.py > tests/reference/chance_words.csv
"""
import hashlib
import struct

MASK = 0xFFFFFFFF


def quarter(state, a, b, c, d):
    for x, y, z, turn in ((a, b, d, 16), (c, d, b, 12), (a, b, d, 8), (c, d, b, 7)):
        state[x] = (state[x] + state[y]) & MASK
        mixed = state[z] ^ state[x]
        state[z] = (mixed << turn | mixed >> (32 - turn)) & MASK


def block(key, lane, counter):
    start = list(struct.unpack("<4I", b"expand 32-byte k") + struct.unpack("<8I", key) + struct.unpack("<4I", struct.pack("<QQ", counter, lane)))
    state = list(start)
    for _ in range(10):
        for column in range(4):
            quarter(state, column, 4 + column, 8 + column, 12 + column)
        for i in range(4):
            quarter(state, i, 4 + (i + 1) % 4, 8 + (i + 2) % 4, 12 + (i + 3) % 4)
    return [(a + b) & MASK for a, b in zip(state, start)]


def words(seed, purpose, lane, index):
    key = hashlib.blake2b(b"", digest_size=32, key=seed, salt=struct.pack("<Q", purpose), person=b"oddplate").digest()
    return block(key, lane, index // 16)[index % 16]


assert struct.pack("<16I", *block(bytes(32), 0, 0)).hex().startswith("76b8e0ada0f13d90405d6ae55386bd28"), "RFC 8439, A.1, vector 1"
print("seed,purpose,lane,index,word")
for seed in (bytes(32), bytes(range(32)), bytes([255] * 32)):
    for purpose in range(1, 7):
        for lane, index in ((0, 0), (0, 1), (1, 15), (2**32, 16), (2**64 - 1, 255), (7, 256), (7, 1000)):
            print(f"{seed.hex()},{purpose},{lane},{index},{words(seed, purpose, lane, index)}")
