"""A sealed box made without libsodium. python3 sealed_box.py OUT.json

Argon2id from RFC 9106 (checked on the RFC's own example, section 5.3), XSalsa20-Poly1305 from Bernstein's papers and RFC 8439. Small parameters (1 MB, one pass),
because this is plain Python; salt and nonce are fixed, so that the file comes out equal each time."""

import base64
import hashlib
import json
import struct
import sys

M64 = (1 << 64) - 1
M32 = (1 << 32) - 1


def le32(n):
    return struct.pack("<I", n)


def long_hash(size, data):
    """H' of RFC 9106, 3.3."""
    if size <= 64:
        return hashlib.blake2b(le32(size) + data, digest_size=size).digest()
    v = hashlib.blake2b(le32(size) + data).digest()
    out = v[:32]
    while size - len(out) > 64:
        v = hashlib.blake2b(v).digest()
        out += v[:32]
    return out + hashlib.blake2b(v, digest_size=size - len(out)).digest()


def mix(v, a, b, c, d):
    for r1, r2 in ((32, 24), (16, 63)):
        v[a] = (v[a] + v[b] + 2 * (v[a] & M32) * (v[b] & M32)) & M64
        x = v[d] ^ v[a]
        v[d] = ((x >> r1) | (x << (64 - r1))) & M64
        v[c] = (v[c] + v[d] + 2 * (v[c] & M32) * (v[d] & M32)) & M64
        x = v[b] ^ v[c]
        v[b] = ((x >> r2) | (x << (64 - r2))) & M64


def permute(v):
    for a, b, c, d in ((0, 4, 8, 12), (1, 5, 9, 13), (2, 6, 10, 14), (3, 7, 11, 15), (0, 5, 10, 15), (1, 6, 11, 12), (2, 7, 8, 13), (3, 4, 9, 14)):
        mix(v, a, b, c, d)


def compress(x, y):
    r = [a ^ b for a, b in zip(x, y)]
    z = list(r)
    for i in range(8):
        row = z[16 * i:16 * i + 16]
        permute(row)
        z[16 * i:16 * i + 16] = row
    for i in range(8):
        places = [16 * j + 2 * i + k for j in range(8) for k in (0, 1)]
        column = [z[p] for p in places]
        permute(column)
        for p, value in zip(places, column):
            z[p] = value
    return [a ^ b for a, b in zip(r, z)]


def argon2id(password, salt, lanes, memory_kb, passes, size, secret=b"", data=b""):
    h0 = hashlib.blake2b(
        b"".join(le32(n) for n in (lanes, size, memory_kb, passes, 0x13, 2)) + b"".join(le32(len(x)) + x for x in (password, salt, secret, data))
    ).digest()
    columns = 4 * (memory_kb // (4 * lanes))
    segment = columns // 4
    blocks = [[None] * columns for _ in range(lanes)]
    for lane in range(lanes):
        for i in (0, 1):
            blocks[lane][i] = list(struct.unpack("<128Q", long_hash(1024, h0 + le32(i) + le32(lane))))
    for turn in range(passes):
        for part in range(4):
            for lane in range(lanes):
                fill(blocks, turn, part, lane, lanes, columns, segment, passes)
    last = blocks[0][columns - 1]
    for lane in range(1, lanes):
        last = [a ^ b for a, b in zip(last, blocks[lane][columns - 1])]
    return long_hash(size, struct.pack("<128Q", *last))


def fill(blocks, turn, part, lane, lanes, columns, segment, passes):
    independent = turn == 0 and part < 2
    zero = [0] * 128
    counter, addresses = 0, []
    for k in range(segment):
        if independent and k % 128 == 0:
            counter += 1
            head = [turn, lane, part, lanes * columns, passes, 2, counter] + [0] * 121
            addresses = compress(zero, compress(zero, head))
        if turn == 0 and part == 0 and k < 2:
            continue
        j = part * segment + k
        before = blocks[lane][(j - 1) % columns]
        pseudo = addresses[k % 128] if independent else before[0]
        j1, j2 = pseudo & M32, pseudo >> 32
        other = lane if turn == 0 and part == 0 else j2 % lanes
        if turn == 0:
            area = j - 1 if other == lane else part * segment - (1 if k == 0 else 0)
            start = 0
        else:
            area = columns - segment + (k - 1 if other == lane else -(1 if k == 0 else 0))
            start = (part + 1) * segment % columns
        z = area - 1 - (area * (j1 * j1 >> 32) >> 32)
        made = compress(before, blocks[other][(start + z) % columns])
        if turn > 0:
            made = [a ^ b for a, b in zip(made, blocks[lane][j])]
        blocks[lane][j] = made


CONSTANTS = struct.unpack("<4I", b"expand 32-byte k")


def salsa_rounds(x):
    def quarter(a, b, c, d):
        for to, p, q, r in ((b, a, d, 7), (c, b, a, 9), (d, c, b, 13), (a, d, c, 18)):
            s = (x[p] + x[q]) & M32
            x[to] ^= ((s << r) | (s >> (32 - r))) & M32

    for _ in range(10):
        for a, b, c, d in ((0, 4, 8, 12), (5, 9, 13, 1), (10, 14, 2, 6), (15, 3, 7, 11), (0, 1, 2, 3), (5, 6, 7, 4), (10, 11, 8, 9), (15, 12, 13, 14)):
            quarter(a, b, c, d)


def salsa_state(key, block):
    k, n, c = struct.unpack("<8I", key), struct.unpack("<4I", block), CONSTANTS
    return [c[0], *k[:4], c[1], *n, c[2], *k[4:], c[3]]


def xsalsa_stream(key, nonce, size):
    x = salsa_state(key, nonce[:16])
    salsa_rounds(x)
    subkey = struct.pack("<8I", *(x[i] for i in (0, 5, 10, 15, 6, 7, 8, 9)))
    out = b""
    for block in range((size + 63) // 64):
        start = salsa_state(subkey, nonce[16:] + struct.pack("<Q", block))
        x = list(start)
        salsa_rounds(x)
        out += struct.pack("<16I", *((a + b) & M32 for a, b in zip(x, start)))
    return out[:size]


def poly1305(key, message):
    r = int.from_bytes(key[:16], "little") & 0x0FFFFFFC0FFFFFFC0FFFFFFC0FFFFFFF
    total = 0
    for i in range(0, len(message), 16):
        total = (total + int.from_bytes(message[i:i + 16] + b"\1", "little")) * r % ((1 << 130) - 5)
    return ((total + int.from_bytes(key[16:32], "little")) & ((1 << 128) - 1)).to_bytes(16, "little")


def secretbox(key, nonce, plain):
    stream = xsalsa_stream(key, nonce, 32 + len(plain))
    cipher = bytes(a ^ b for a, b in zip(plain, stream[32:]))
    return poly1305(stream[:32], cipher) + cipher


def text(data):
    return base64.b64encode(data).decode()


def main():
    example = argon2id(b"\1" * 32, b"\2" * 16, 4, 32, 3, 32, b"\3" * 8, b"\4" * 12)
    assert example.hex() == "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"   # RFC 9106, 5.3
    words, plain = "abacus lantern orchard violin zoology", b'{"ballots":[],"salt":"made up"}'
    salt, nonce, memory, passes = bytes(range(16)), bytes(range(100, 124)), 1 << 20, 1
    key = argon2id(words.encode(), salt, 1, memory >> 10, passes, 32)
    padded = plain + b"\x80" + b"\0" * (1023 - len(plain))
    box = {"box": text(secretbox(key, nonce, padded)), "cipher": "xsalsa20-poly1305", "format": "oddplate.sealed", "kdf": "argon2id13", "memory": memory,
           "nonce": text(nonce), "passes": passes, "salt": text(salt), "version": 1}
    with open(sys.argv[1], "w", encoding="ascii", newline="\n") as out:
        out.write(json.dumps(box, sort_keys=True, separators=(",", ":")) + "\n")


main()
