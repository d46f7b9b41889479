-- Format 1, from an empty file. Everything that is kept of a tasting is its log and its two papers, apart from each other.
CREATE TABLE tasting (
    number INTEGER PRIMARY KEY AUTOINCREMENT,          -- order of arrival in this book
    id     TEXT NOT NULL UNIQUE CHECK (length(id) = 8)
) STRICT;

CREATE TABLE log (
    tasting TEXT NOT NULL REFERENCES tasting (id) ON DELETE CASCADE,
    seq     INTEGER NOT NULL CHECK (seq >= 1),
    kind    TEXT NOT NULL,
    at      TEXT NOT NULL,
    body    TEXT NOT NULL,
    hash    TEXT NOT NULL CHECK (length(hash) = 64),
    PRIMARY KEY (tasting, seq)
) STRICT, WITHOUT ROWID;

-- What the room may see: ballots, sets, codes.
CREATE TABLE room (
    tasting TEXT NOT NULL REFERENCES tasting (id) ON DELETE CASCADE,
    draw    INTEGER NOT NULL CHECK (draw >= 1),
    body    TEXT NOT NULL,
    PRIMARY KEY (tasting, draw)
) STRICT, WITHOUT ROWID;

-- What only the key holds: orders, pieces, tubs, seed, salt.
CREATE TABLE key (
    tasting TEXT NOT NULL REFERENCES tasting (id) ON DELETE CASCADE,
    draw    INTEGER NOT NULL CHECK (draw >= 1),
    body    TEXT NOT NULL,
    PRIMARY KEY (tasting, draw)
) STRICT, WITHOUT ROWID;

-- A key under the bearer's words; its plain text is nowhere.
CREATE TABLE sealed (
    tasting TEXT NOT NULL REFERENCES tasting (id) ON DELETE CASCADE,
    draw    INTEGER NOT NULL CHECK (draw >= 1),
    body    TEXT NOT NULL,
    PRIMARY KEY (tasting, draw)
) STRICT, WITHOUT ROWID;
