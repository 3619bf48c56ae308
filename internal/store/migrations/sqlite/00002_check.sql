-- +goose Up
-- The gas and fittings check: what goes along with a cylinder, the instruments that it is for, and where the regulator set is left.

CREATE TABLE caps (
    id          INTEGER PRIMARY KEY,
    code        TEXT    NOT NULL,
    name        TEXT    NOT NULL,
    version     INTEGER NOT NULL,
    place_id    INTEGER CONSTRAINT caps_place REFERENCES places (id),
    serviced_at INTEGER NOT NULL DEFAULT 0,
    CONSTRAINT caps_code_once UNIQUE (code)
) STRICT;

-- When a part was last stated to be serviced; 0 where nobody did.
ALTER TABLE regulators ADD COLUMN serviced_at INTEGER NOT NULL DEFAULT 0;
ALTER TABLE tubings ADD COLUMN serviced_at INTEGER NOT NULL DEFAULT 0;

ALTER TABLE sources ADD COLUMN gtin TEXT NOT NULL DEFAULT '';

ALTER TABLE checkouts ADD COLUMN cap TEXT NOT NULL DEFAULT '';
ALTER TABLE checkouts ADD COLUMN instruments TEXT NOT NULL DEFAULT '[]' CONSTRAINT checkouts_instruments_json CHECK (json_valid(instruments));
ALTER TABLE checkouts ADD COLUMN returned_to TEXT NOT NULL DEFAULT '';
ALTER TABLE checkouts ADD COLUMN set_left_on INTEGER /*bool*/ NOT NULL DEFAULT FALSE CONSTRAINT checkouts_set_left_on_bool CHECK (set_left_on IN (0, 1));
CREATE INDEX checkouts_by_regulator ON checkouts (regulator, taken_at);
CREATE INDEX checkouts_by_tubing ON checkouts (tubing, taken_at);
CREATE INDEX checkouts_by_cap ON checkouts (cap, taken_at);

-- The documents of lots that come as a file, each kept once under the fingerprint of its content.
CREATE TABLE files (
    sha256      TEXT    NOT NULL PRIMARY KEY,
    kind        TEXT    NOT NULL CONSTRAINT files_kind_known CHECK (kind IN ('application/pdf', 'image/png', 'image/jpeg')),
    name        TEXT    NOT NULL,
    recorded_at INTEGER NOT NULL,
    bytes       BLOB    NOT NULL
) STRICT;

ALTER TABLE certificates ADD COLUMN file_sha256 TEXT NOT NULL DEFAULT '';

-- When an instrument last had each of its tests.
CREATE INDEX tests_by_procedure ON tests (instrument, procedure_id, happened_at);
