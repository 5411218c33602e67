-- +goose Up
CREATE TABLE archive_order (
    one INTEGER NOT NULL PRIMARY KEY CHECK (one = 1),
    seq INTEGER NOT NULL
) STRICT;
INSERT INTO archive_order (one, seq) VALUES (1, 0);

CREATE TABLE archive_version (
    kind           TEXT    NOT NULL,
    id             TEXT    NOT NULL,
    version        INTEGER NOT NULL CHECK (version > 0),
    seq            INTEGER NOT NULL UNIQUE,
    title          TEXT    NOT NULL,
    saved          INTEGER NOT NULL,
    note           TEXT    NOT NULL,
    of_version     INTEGER NOT NULL,
    before_version INTEGER NOT NULL,
    gone           INTEGER NOT NULL CHECK (gone IN (0, 1)),
    bytes          INTEGER NOT NULL,
    content        BLOB    NOT NULL,
    PRIMARY KEY (kind, id, version)
) STRICT;

CREATE TABLE archive_plan (
    id            TEXT    NOT NULL PRIMARY KEY,
    seq           INTEGER NOT NULL UNIQUE,
    made          INTEGER NOT NULL,
    case_id       TEXT    NOT NULL,
    case_version  INTEGER NOT NULL,
    shelf_id      TEXT    NOT NULL,
    shelf_version INTEGER NOT NULL,
    house_id      TEXT    NOT NULL,
    house_version INTEGER NOT NULL,
    program       TEXT    NOT NULL,
    day           TEXT    NOT NULL,
    events        TEXT    NOT NULL,
    route         TEXT    NOT NULL,
    finish        TEXT    NOT NULL,
    treat_over    TEXT    NOT NULL,
    verdict       TEXT    NOT NULL,
    p             REAL    NOT NULL,
    no_p          INTEGER NOT NULL CHECK (no_p IN (0, 1)),
    json          BLOB    NOT NULL,
    pdf           BLOB    NOT NULL,
    html          BLOB    NOT NULL
) STRICT;
CREATE INDEX archive_plan_of_case ON archive_plan (case_id, seq);

-- "BRoP": a file of this program. user_version is the number of the newest form, which
-- a program reads before it touches anything.
PRAGMA application_id = 1112698704;
PRAGMA user_version = 1;
