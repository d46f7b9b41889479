-- Format 2: what the host's page makes its links from, so that a phone's link still opens after the laptop was started anew.
CREATE TABLE host (
    one    INTEGER PRIMARY KEY CHECK (one = 1),
    secret TEXT NOT NULL CHECK (length(secret) = 64)
) STRICT;
