-- A small book of format 1: three tasters, one triangle, closed. Written by the first program that kept books; never made anew.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE tasting (
    number INTEGER PRIMARY KEY AUTOINCREMENT,          -- order of arrival in this book
    id     TEXT NOT NULL UNIQUE CHECK (length(id) = 8)
) STRICT;
INSERT INTO tasting VALUES(1,'ngpcwdpx');
CREATE TABLE log (
    tasting TEXT NOT NULL REFERENCES tasting (id) ON DELETE CASCADE,
    seq     INTEGER NOT NULL CHECK (seq >= 1),
    kind    TEXT NOT NULL,
    at      TEXT NOT NULL,
    body    TEXT NOT NULL,
    hash    TEXT NOT NULL CHECK (length(hash) = 64),
    PRIMARY KEY (tasting, seq)
) STRICT, WITHOUT ROWID;
INSERT INTO log VALUES('ngpcwdpx',1,'planned','2026-11-25T19:48:07Z','{"plan":{"allergens":[],"alpha":0.05,"format":"oddplate.plan","insiders":[],"pieces":1,"power":0.8,"rounds":[{"aim":"difference","alpha":0.05,"decide_on":"overall","hide_spots":false,"method":"triangle","power":0.8,"sets_per_taster":1,"spots":["edge"],"spots_per_taster":1}],"same_recipe":false,"spares":1,"spot_order":"balanced","tasters":3,"title":"Which crust?","version":1,"versions":[{"id":"current","label":"current"},{"id":"new","label":"new"}],"warm":false,"waves":0}}','cd9158e30004d2d0433d179dc4eac7b01ad0336b7be06f26f32470a999006e8f');
INSERT INTO log VALUES('ngpcwdpx',2,'drawn','2026-11-25T19:48:09Z','{"ballots":4,"draw":1,"draw_version":1,"fingerprint":"a1fd42660ac9bdcf6f4308a622fad5a85c338aae043deed255629d181c839b62","sealed":false,"seed_given":false,"servings":12,"sets":4}','03855017694b6d29f47548b7bbe32279e7f56af29865a54ad5b66fd8dd002187');
INSERT INTO log VALUES('ngpcwdpx',3,'answered','2026-11-25T19:48:11Z','{"answers":[["1",1,"747"],["2",1,"368"],["3",1,"674"]],"from":"csv"}','37d0671f4b668f13b697608ede60d375c86ac9996ec8a07db614328cc4d731c2');
INSERT INTO log VALUES('ngpcwdpx',4,'closed','2026-11-25T19:48:11Z','{"answered":3,"blank":0,"dealt":3,"left_over":1,"missing":0,"not_served":0,"printed":4,"sets_dealt":3,"spoiled":0,"void":0}','f3dd89682141dab2525154f751d0d808b43246da274c335e405d5611ef08fbbd');
CREATE TABLE room (
    tasting TEXT NOT NULL REFERENCES tasting (id) ON DELETE CASCADE,
    draw    INTEGER NOT NULL CHECK (draw >= 1),
    body    TEXT NOT NULL,
    PRIMARY KEY (tasting, draw)
) STRICT, WITHOUT ROWID;
INSERT INTO room VALUES('ngpcwdpx',1,'[[false,[[0,0,["747","897","568"]]]],[false,[[0,0,["368","402","853"]]]],[false,[[0,0,["674","971","640"]]]],[true,[[0,0,["976","733","255"]]]]]');
CREATE TABLE key (
    tasting TEXT NOT NULL REFERENCES tasting (id) ON DELETE CASCADE,
    draw    INTEGER NOT NULL CHECK (draw >= 1),
    body    TEXT NOT NULL,
    PRIMARY KEY (tasting, draw)
) STRICT, WITHOUT ROWID;
INSERT INTO "key" VALUES('ngpcwdpx',1,'{"ballots":[[[1,[[1,0],[0,0],[0,0]]]],[[4,[[0,0],[1,0],[0,0]]]],[[0,[[0,0],[1,0],[1,0]]]],[[5,[[1,0],[0,0],[1,0]]]]],"salt":"fb07a2b9488f2c1c28eb3ad01f88ba41ec4830fa7aa38a1973ead1bdcb1af584","seed":"34d2f972003c8919a639f74a39920b44bd25b1d6cedd5c14938d10bd33032b6d","tubs":[["edge",["J","K"]]]}');
CREATE TABLE sealed (
    tasting TEXT NOT NULL REFERENCES tasting (id) ON DELETE CASCADE,
    draw    INTEGER NOT NULL CHECK (draw >= 1),
    body    TEXT NOT NULL,
    PRIMARY KEY (tasting, draw)
) STRICT, WITHOUT ROWID;
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('tasting',1);
COMMIT;
PRAGMA application_id=0x6f646470;
PRAGMA user_version=1;
