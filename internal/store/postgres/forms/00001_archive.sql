-- +goose Up
CREATE TABLE archive_order (
    one INTEGER NOT NULL PRIMARY KEY CHECK (one = 1),
    seq BIGINT  NOT NULL
);
INSERT INTO archive_order (one, seq) VALUES (1, 0);

-- COLLATE "C": ids and titles are the same where their bytes are, whatever the language
-- of the server.
CREATE TABLE archive_version (
    kind           TEXT COLLATE "C" NOT NULL,
    id             TEXT COLLATE "C" NOT NULL,
    version        BIGINT  NOT NULL CHECK (version > 0),
    seq            BIGINT  NOT NULL UNIQUE,
    title          TEXT COLLATE "C" NOT NULL,
    saved          BIGINT  NOT NULL,
    note           TEXT COLLATE "C" NOT NULL,
    of_version     BIGINT  NOT NULL,
    before_version BIGINT  NOT NULL,
    gone           BOOLEAN NOT NULL,
    bytes          BIGINT  NOT NULL,
    content        BYTEA   NOT NULL,
    PRIMARY KEY (kind, id, version)
);

CREATE TABLE archive_plan (
    id            TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    seq           BIGINT NOT NULL UNIQUE,
    made          BIGINT NOT NULL,
    case_id       TEXT COLLATE "C" NOT NULL,
    case_version  BIGINT NOT NULL,
    shelf_id      TEXT COLLATE "C" NOT NULL,
    shelf_version BIGINT NOT NULL,
    house_id      TEXT COLLATE "C" NOT NULL,
    house_version BIGINT NOT NULL,
    program       TEXT   NOT NULL,
    day           TEXT   NOT NULL,
    events        TEXT   NOT NULL,
    route         TEXT   NOT NULL,
    finish        TEXT   NOT NULL,
    treat_over    TEXT   NOT NULL,
    verdict       TEXT   NOT NULL,
    p             DOUBLE PRECISION NOT NULL,
    no_p          BOOLEAN NOT NULL,
    json          BYTEA  NOT NULL,
    pdf           BYTEA  NOT NULL,
    html          BYTEA  NOT NULL
);
CREATE INDEX archive_plan_of_case ON archive_plan (case_id, seq);
