-- +goose Up
-- Instants are Unix milliseconds UTC, dates YYYY-MM-DD or '' for none, quantities exact integers of the unit that the column names.

CREATE TABLE people (
    id            INTEGER PRIMARY KEY,
    name          TEXT    NOT NULL CONSTRAINT people_name_given CHECK (name <> ''),
    role          TEXT    NOT NULL CONSTRAINT people_role_known CHECK (role IN ('clerk', 'technician', 'purchaser', 'supervisor', 'viewer')),
    password_hash TEXT    NOT NULL,
    created_at    INTEGER NOT NULL,
    CONSTRAINT people_name_once UNIQUE (name)
) STRICT;

CREATE TABLE sessions (
    token_hash TEXT    NOT NULL PRIMARY KEY,
    person_id  INTEGER NOT NULL CONSTRAINT sessions_person REFERENCES people (id),
    created_at INTEGER NOT NULL,
    seen_at    INTEGER NOT NULL,
    expires_at INTEGER NOT NULL
) STRICT;
CREATE INDEX sessions_by_person ON sessions (person_id);

CREATE TABLE tokens (
    token_hash TEXT    NOT NULL PRIMARY KEY,
    person_id  INTEGER NOT NULL CONSTRAINT tokens_person REFERENCES people (id),
    created_at INTEGER NOT NULL,
    revoked_at INTEGER NOT NULL
) STRICT;
CREATE INDEX tokens_by_person ON tokens (person_id);

CREATE TABLE answers (
    person_id   INTEGER NOT NULL CONSTRAINT answers_person REFERENCES people (id),
    key         TEXT    NOT NULL,
    hash        TEXT    NOT NULL,
    body        TEXT    NOT NULL,
    recorded_at INTEGER NOT NULL,
    PRIMARY KEY (person_id, key)
) STRICT;
CREATE INDEX answers_by_age ON answers (recorded_at);

CREATE TABLE versions (
    id          INTEGER PRIMARY KEY,
    noun        TEXT    NOT NULL,
    code        TEXT    NOT NULL,
    version     INTEGER NOT NULL CONSTRAINT versions_count CHECK (version > 0),
    doc         TEXT    NOT NULL CONSTRAINT versions_doc_json CHECK (json_valid(doc)),
    recorded_at INTEGER NOT NULL,
    by_name     TEXT    NOT NULL,
    CONSTRAINT versions_once UNIQUE (noun, code, version)
) STRICT;
CREATE UNIQUE INDEX versions_any_case ON versions (noun, lower(code), version);

CREATE TABLE components (
    id              INTEGER PRIMARY KEY,
    code            TEXT    NOT NULL,
    name            TEXT    NOT NULL,
    version         INTEGER NOT NULL,
    cap_months      INTEGER,
    fallback_months INTEGER,
    opened_days     INTEGER,
    formula         TEXT    NOT NULL,
    making_tolerance_bp INTEGER CONSTRAINT components_tolerance CHECK (making_tolerance_bp >= 0),
    adsorbs         INTEGER /*bool*/ NOT NULL CONSTRAINT components_adsorbs_bool CHECK (adsorbs IN (0, 1)),
    CONSTRAINT components_code_once UNIQUE (code)
) STRICT;

CREATE TABLE blends (
    id      INTEGER PRIMARY KEY,
    code    TEXT    NOT NULL,
    name    TEXT    NOT NULL,
    version INTEGER NOT NULL,
    balance TEXT    NOT NULL,
    CONSTRAINT blends_code_once UNIQUE (code)
) STRICT;

CREATE TABLE blend_components (
    blend_id      INTEGER NOT NULL CONSTRAINT blend_components_blend REFERENCES blends (id),
    component_id  INTEGER NOT NULL CONSTRAINT blend_components_component REFERENCES components (id),
    position      INTEGER NOT NULL,
    amount_ppb    INTEGER NOT NULL CONSTRAINT blend_components_amount CHECK (amount_ppb > 0 AND amount_ppb <= 1000000000),
    tolerance_ppb INTEGER NOT NULL CONSTRAINT blend_components_tolerance CHECK (tolerance_ppb >= 0),
    PRIMARY KEY (blend_id, component_id)
) STRICT;

CREATE TABLE suppliers (
    id           INTEGER PRIMARY KEY,
    code         TEXT    NOT NULL,
    name         TEXT    NOT NULL,
    version      INTEGER NOT NULL,
    lead_days    INTEGER NOT NULL CONSTRAINT suppliers_lead CHECK (lead_days >= 0),
    lead_sd_days INTEGER NOT NULL CONSTRAINT suppliers_lead_sd CHECK (lead_sd_days >= 0),
    CONSTRAINT suppliers_code_once UNIQUE (code)
) STRICT;

CREATE TABLE places (
    id            INTEGER PRIMARY KEY,
    code          TEXT    NOT NULL,
    name          TEXT    NOT NULL,
    version       INTEGER NOT NULL,
    kind          TEXT    NOT NULL,
    max_cylinders INTEGER,
    CONSTRAINT places_code_once UNIQUE (code)
) STRICT;

CREATE TABLE items (
    id               INTEGER PRIMARY KEY,
    code             TEXT    NOT NULL,
    name             TEXT    NOT NULL,
    version          INTEGER NOT NULL,
    kind             TEXT    NOT NULL CONSTRAINT items_kind_known CHECK (kind IN ('gas', 'regulator', 'tubing', 'adapter', 'filter', 'cap', 'other')),
    counted_in       TEXT    NOT NULL CONSTRAINT items_counted_in_known CHECK (counted_in IN ('cylinder', 'each', 'm')),
    blend_id         INTEGER CONSTRAINT items_blend REFERENCES blends (id),
    water_volume_ml  INTEGER NOT NULL CONSTRAINT items_water_volume CHECK (water_volume_ml >= 0),
    fill_pressure_pa INTEGER NOT NULL CONSTRAINT items_fill_pressure CHECK (fill_pressure_pa >= 0),
    outlet           TEXT    NOT NULL,
    refillable       INTEGER /*bool*/ NOT NULL CONSTRAINT items_refillable_bool CHECK (refillable IN (0, 1)),
    cutoff_pa        INTEGER,
    store_cap_months INTEGER,
    CONSTRAINT items_code_once UNIQUE (code),
    CONSTRAINT items_gas_whole CHECK (kind <> 'gas' OR blend_id IS NOT NULL AND water_volume_ml > 0 AND fill_pressure_pa > 0)
) STRICT;
CREATE INDEX items_by_blend ON items (blend_id);

CREATE TABLE sources (
    id                INTEGER PRIMARY KEY,
    item_id           INTEGER NOT NULL CONSTRAINT sources_item REFERENCES items (id),
    supplier_id       INTEGER NOT NULL CONSTRAINT sources_supplier REFERENCES suppliers (id),
    position          INTEGER NOT NULL,
    article           TEXT    NOT NULL,
    pack              INTEGER NOT NULL CONSTRAINT sources_pack CHECK (pack > 0),
    moq               INTEGER NOT NULL CONSTRAINT sources_moq CHECK (moq > 0),
    price_minor       INTEGER NOT NULL CONSTRAINT sources_price CHECK (price_minor >= 0),
    currency          TEXT    NOT NULL,
    minimum_life_days INTEGER NOT NULL CONSTRAINT sources_life CHECK (minimum_life_days >= 0),
    CONSTRAINT sources_once UNIQUE (item_id, supplier_id)
) STRICT;

CREATE TABLE regulators (
    id              INTEGER PRIMARY KEY,
    code            TEXT    NOT NULL,
    name            TEXT    NOT NULL,
    version         INTEGER NOT NULL,
    inlet           TEXT    NOT NULL,
    max_pressure_pa INTEGER NOT NULL CONSTRAINT regulators_rating CHECK (max_pressure_pa > 0),
    minimum_inlet_pa INTEGER NOT NULL CONSTRAINT regulators_minimum CHECK (minimum_inlet_pa >= 0),
    mode            TEXT    NOT NULL CONSTRAINT regulators_mode_known CHECK (mode IN ('fixed', 'demand')),
    flow_ml_min     INTEGER NOT NULL CONSTRAINT regulators_flow CHECK (flow_ml_min >= 0),
    body            TEXT    NOT NULL,
    place_id        INTEGER CONSTRAINT regulators_place REFERENCES places (id),
    CONSTRAINT regulators_code_once UNIQUE (code)
) STRICT;

CREATE TABLE tubings (
    id        INTEGER PRIMARY KEY,
    code      TEXT    NOT NULL,
    name      TEXT    NOT NULL,
    version   INTEGER NOT NULL,
    material  TEXT    NOT NULL,
    length_mm INTEGER NOT NULL CONSTRAINT tubings_length CHECK (length_mm > 0),
    place_id  INTEGER CONSTRAINT tubings_place REFERENCES places (id),
    CONSTRAINT tubings_code_once UNIQUE (code)
) STRICT;

CREATE TABLE procedures (
    id             INTEGER PRIMARY KEY,
    code           TEXT    NOT NULL,
    name           TEXT    NOT NULL,
    version        INTEGER NOT NULL,
    purpose        TEXT    NOT NULL CONSTRAINT procedures_purpose_known CHECK (purpose IN ('zero', 'bump', 'check', 'calibration', 'line')),
    blend_id       INTEGER CONSTRAINT procedures_blend REFERENCES blends (id),
    flow_ml_min    INTEGER NOT NULL CONSTRAINT procedures_flow CHECK (flow_ml_min > 0),
    duration_s     INTEGER NOT NULL CONSTRAINT procedures_duration CHECK (duration_s > 0),
    purge_ml       INTEGER NOT NULL CONSTRAINT procedures_purge CHECK (purge_ml >= 0),
    conditioning_s INTEGER NOT NULL CONSTRAINT procedures_conditioning CHECK (conditioning_s >= 0),
    CONSTRAINT procedures_code_once UNIQUE (code)
) STRICT;

CREATE TABLE instrument_models (
    id      INTEGER PRIMARY KEY,
    code    TEXT    NOT NULL,
    name    TEXT    NOT NULL,
    version INTEGER NOT NULL,
    CONSTRAINT instrument_models_code_once UNIQUE (code)
) STRICT;

CREATE TABLE instruments (
    id       INTEGER PRIMARY KEY,
    code     TEXT    NOT NULL,
    name     TEXT    NOT NULL,
    version  INTEGER NOT NULL,
    model_id INTEGER CONSTRAINT instruments_model REFERENCES instrument_models (id),
    place_id INTEGER CONSTRAINT instruments_place REFERENCES places (id),
    CONSTRAINT instruments_code_once UNIQUE (code)
) STRICT;

CREATE TABLE rounds (
    id       INTEGER PRIMARY KEY,
    code     TEXT    NOT NULL,
    name     TEXT    NOT NULL,
    version  INTEGER NOT NULL,
    place_id INTEGER CONSTRAINT rounds_place REFERENCES places (id),
    CONSTRAINT rounds_code_once UNIQUE (code)
) STRICT;

CREATE TABLE lots (
    id               INTEGER PRIMARY KEY,
    supplier_id      INTEGER NOT NULL CONSTRAINT lots_supplier REFERENCES suppliers (id),
    blend_id         INTEGER NOT NULL CONSTRAINT lots_blend REFERENCES blends (id),
    lot              TEXT    NOT NULL CONSTRAINT lots_lot_given CHECK (lot <> ''),
    lot_key          TEXT    NOT NULL,
    filled_on        TEXT    NOT NULL CONSTRAINT lots_filled_on_date CHECK (filled_on = '' OR filled_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    assayed_on       TEXT    NOT NULL CONSTRAINT lots_assayed_on_date CHECK (assayed_on = '' OR assayed_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    label_expires_on TEXT    NOT NULL CONSTRAINT lots_label_date CHECK (label_expires_on = '' OR label_expires_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    certificate_id   INTEGER,
    received_at      INTEGER NOT NULL,
    version          INTEGER NOT NULL,
    CONSTRAINT lots_once UNIQUE (supplier_id, lot_key)
) STRICT;
CREATE INDEX lots_by_key ON lots (lot_key);

CREATE TABLE receipts (
    id               INTEGER PRIMARY KEY,
    supplier_id      INTEGER NOT NULL CONSTRAINT receipts_supplier REFERENCES suppliers (id),
    item_id          INTEGER NOT NULL CONSTRAINT receipts_item REFERENCES items (id),
    lot_id           INTEGER CONSTRAINT receipts_lot REFERENCES lots (id),
    place_id         INTEGER NOT NULL CONSTRAINT receipts_place REFERENCES places (id),
    quantity         INTEGER NOT NULL CONSTRAINT receipts_quantity CHECK (quantity > 0),
    counted_in       TEXT    NOT NULL,
    typed            TEXT    NOT NULL CONSTRAINT receipts_typed_json CHECK (json_valid(typed)),
    findings         TEXT    NOT NULL CONSTRAINT receipts_findings_json CHECK (json_valid(findings)),
    settings_version INTEGER NOT NULL,
    received_at      INTEGER NOT NULL,
    by_name          TEXT    NOT NULL
) STRICT;
CREATE INDEX receipts_by_item ON receipts (item_id);

CREATE TABLE cylinders (
    id              INTEGER PRIMARY KEY,
    tag             TEXT    NOT NULL,
    item_id         INTEGER NOT NULL CONSTRAINT cylinders_item REFERENCES items (id),
    lot_id          INTEGER NOT NULL CONSTRAINT cylinders_lot REFERENCES lots (id),
    receipt_id      INTEGER NOT NULL CONSTRAINT cylinders_receipt REFERENCES receipts (id),
    certificate_id  INTEGER,
    serial          TEXT    NOT NULL,
    stage           TEXT    NOT NULL CONSTRAINT cylinders_stage_known CHECK (stage IN ('announced', 'received', 'sealed', 'opened', 'spent', 'gone')),
    place_id        INTEGER CONSTRAINT cylinders_place REFERENCES places (id),
    holder_id       INTEGER CONSTRAINT cylinders_holder REFERENCES people (id),
    held_since      INTEGER NOT NULL,
    checkout_id     INTEGER,
    pressure_pa     INTEGER NOT NULL CONSTRAINT cylinders_pressure CHECK (pressure_pa >= 0),
    temperature_mk  INTEGER NOT NULL,
    coldest_mk      INTEGER NOT NULL,
    gauge           TEXT    NOT NULL,
    pressure_source TEXT    NOT NULL CONSTRAINT cylinders_source_known CHECK (pressure_source IN ('measured', 'computed', 'fill', 'unknown')),
    measured_at     INTEGER NOT NULL,
    received_at     INTEGER NOT NULL,
    opened_on       TEXT    NOT NULL CONSTRAINT cylinders_opened_on_date CHECK (opened_on = '' OR opened_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    version         INTEGER NOT NULL,
    CONSTRAINT cylinders_tag_once UNIQUE (tag),
    CONSTRAINT cylinders_one_custody CHECK (place_id IS NULL OR holder_id IS NULL)
) STRICT;
CREATE INDEX cylinders_by_item ON cylinders (item_id, stage, id);
CREATE INDEX cylinders_alike ON cylinders (item_id, stage, holder_id, lot_id, certificate_id);
CREATE INDEX cylinders_by_lot ON cylinders (lot_id);
CREATE INDEX cylinders_by_serial ON cylinders (serial);
CREATE INDEX cylinders_by_place ON cylinders (place_id, stage);
CREATE INDEX cylinders_by_holder ON cylinders (holder_id);
CREATE INDEX cylinders_by_receipt ON cylinders (receipt_id);

CREATE TABLE certificates (
    id                  INTEGER PRIMARY KEY,
    lot_id              INTEGER NOT NULL CONSTRAINT certificates_lot REFERENCES lots (id),
    cylinder_id         INTEGER CONSTRAINT certificates_cylinder REFERENCES cylinders (id),
    kind                TEXT    NOT NULL CONSTRAINT certificates_kind_known CHECK (kind IN ('analysis', 'conformity', 'label')),
    number              TEXT    NOT NULL,
    issued_on           TEXT    NOT NULL CONSTRAINT certificates_issued_on_date CHECK (issued_on = '' OR issued_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    expires_on          TEXT    NOT NULL CONSTRAINT certificates_expires_on_date CHECK (expires_on = '' OR expires_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    min_use_pressure_pa INTEGER NOT NULL,
    recorded_at         INTEGER NOT NULL
) STRICT;
CREATE INDEX certificates_by_lot ON certificates (lot_id);
CREATE INDEX certificates_by_cylinder ON certificates (cylinder_id);

CREATE TABLE certificate_values (
    certificate_id  INTEGER NOT NULL CONSTRAINT certificate_values_certificate REFERENCES certificates (id),
    component_id    INTEGER NOT NULL CONSTRAINT certificate_values_component REFERENCES components (id),
    position        INTEGER NOT NULL,
    amount_ppb      INTEGER NOT NULL CONSTRAINT certificate_values_amount CHECK (amount_ppb >= 0 AND amount_ppb <= 1000000000),
    uncertainty_ppb INTEGER NOT NULL CONSTRAINT certificate_values_uncertainty CHECK (uncertainty_ppb >= 0),
    typed           TEXT    NOT NULL,
    PRIMARY KEY (certificate_id, component_id)
) STRICT;

CREATE TABLE holds (
    id          INTEGER PRIMARY KEY,
    on_kind     TEXT    NOT NULL CONSTRAINT holds_on_known CHECK (on_kind IN ('cylinder', 'lot', 'item', 'regulator')),
    on_id       INTEGER NOT NULL,
    on_name     TEXT    NOT NULL,
    reason      TEXT    NOT NULL,
    text        TEXT    NOT NULL,
    placed_at   INTEGER NOT NULL,
    placed_by   TEXT    NOT NULL,
    receiving   INTEGER /*bool*/ NOT NULL CONSTRAINT holds_receiving_bool CHECK (receiving IN (0, 1)),
    released_at INTEGER NOT NULL,
    released_by TEXT    NOT NULL,
    evidence    TEXT    NOT NULL
) STRICT;
CREATE INDEX holds_standing ON holds (on_kind, on_id) WHERE released_at = 0;

CREATE TABLE checkouts (
    id               INTEGER PRIMARY KEY,
    cylinder_id      INTEGER NOT NULL CONSTRAINT checkouts_cylinder REFERENCES cylinders (id),
    holder_id        INTEGER NOT NULL CONSTRAINT checkouts_holder REFERENCES people (id),
    place_id         INTEGER CONSTRAINT checkouts_place REFERENCES places (id),
    purpose          TEXT    NOT NULL,
    tests            TEXT    NOT NULL CONSTRAINT checkouts_tests_json CHECK (json_valid(tests)),
    from_on          TEXT    NOT NULL,
    until_on         TEXT    NOT NULL,
    regulator        TEXT    NOT NULL,
    tubing           TEXT    NOT NULL,
    need_ml          INTEGER NOT NULL,
    taken_at         INTEGER NOT NULL,
    out_pressure_pa  INTEGER NOT NULL,
    out_temperature_mk INTEGER NOT NULL,
    out_gauge        TEXT    NOT NULL,
    out_source       TEXT    NOT NULL,
    returned_at      INTEGER NOT NULL,
    in_pressure_pa   INTEGER NOT NULL,
    in_temperature_mk INTEGER NOT NULL,
    in_gauge         TEXT    NOT NULL,
    measured_ml      INTEGER NOT NULL,
    expected_ml      INTEGER NOT NULL,
    threshold_ml     INTEGER NOT NULL,
    verdict          TEXT    NOT NULL,
    explained        TEXT    NOT NULL CONSTRAINT checkouts_explained_json CHECK (json_valid(explained)),
    settings_version INTEGER NOT NULL,
    version          INTEGER NOT NULL
) STRICT;
CREATE UNIQUE INDEX checkouts_one_open ON checkouts (cylinder_id) WHERE returned_at = 0;
CREATE INDEX checkouts_by_cylinder ON checkouts (cylinder_id, taken_at);
CREATE INDEX checkouts_by_return ON checkouts (returned_at);
CREATE INDEX checkouts_by_holder ON checkouts (holder_id, returned_at);

CREATE TABLE tests (
    id           INTEGER PRIMARY KEY,
    checkout_id  INTEGER NOT NULL CONSTRAINT tests_checkout REFERENCES checkouts (id),
    instrument   TEXT    NOT NULL,
    procedure_id INTEGER NOT NULL CONSTRAINT tests_procedure REFERENCES procedures (id),
    result       TEXT    NOT NULL CONSTRAINT tests_result_known CHECK (result IN ('pass', 'fail')),
    attempts     INTEGER NOT NULL CONSTRAINT tests_attempts CHECK (attempts > 0),
    used_ml      INTEGER NOT NULL,
    readings     TEXT    NOT NULL CONSTRAINT tests_readings_json CHECK (json_valid(readings)),
    valid        INTEGER /*bool*/ NOT NULL CONSTRAINT tests_valid_bool CHECK (valid IN (0, 1)),
    happened_at  INTEGER NOT NULL,
    recorded_at  INTEGER NOT NULL,
    by_name      TEXT    NOT NULL
) STRICT;
CREATE INDEX tests_by_checkout ON tests (checkout_id);
CREATE INDEX tests_by_instrument ON tests (instrument, happened_at);

CREATE TABLE balances (
    item_id  INTEGER NOT NULL CONSTRAINT balances_item REFERENCES items (id),
    place_id INTEGER NOT NULL CONSTRAINT balances_place REFERENCES places (id),
    quantity INTEGER NOT NULL CONSTRAINT balances_not_negative CHECK (quantity >= 0),
    PRIMARY KEY (item_id, place_id)
) STRICT;

CREATE TABLE tasks (
    id        INTEGER PRIMARY KEY,
    role      TEXT    NOT NULL,
    kind      TEXT    NOT NULL,
    subject   TEXT    NOT NULL,
    text      TEXT    NOT NULL,
    opened_at INTEGER NOT NULL,
    closed_at INTEGER NOT NULL,
    closed_by TEXT    NOT NULL
) STRICT;
CREATE INDEX tasks_open ON tasks (role, opened_at) WHERE closed_at = 0;

CREATE TABLE ledger (
    seq           INTEGER PRIMARY KEY,
    recorded_at   INTEGER NOT NULL,
    happened_at   INTEGER NOT NULL,
    by_name       TEXT    NOT NULL,
    kind          TEXT    NOT NULL,
    subject       TEXT    NOT NULL,
    quantity      INTEGER NOT NULL,
    unit          TEXT    NOT NULL,
    place         TEXT    NOT NULL,
    reverses      INTEGER,
    before        TEXT    NOT NULL,
    after         TEXT    NOT NULL,
    reason        TEXT    NOT NULL,
    request_id    TEXT    NOT NULL,
    previous_hash TEXT    NOT NULL,
    hash          TEXT    NOT NULL,
    CONSTRAINT ledger_reversed_once UNIQUE (reverses)
) STRICT;
CREATE INDEX ledger_by_subject ON ledger (subject, seq);
CREATE INDEX ledger_by_kind ON ledger (kind, happened_at);

-- +goose StatementBegin
CREATE TRIGGER ledger_in_order BEFORE INSERT ON ledger
WHEN NEW.seq <> (SELECT COALESCE(MAX(seq), 0) + 1 FROM ledger)
BEGIN SELECT RAISE(ABORT, 'the ledger is only appended to, in order'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER ledger_never_updated BEFORE UPDATE ON ledger
BEGIN SELECT RAISE(ABORT, 'ledger entries are never edited'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER ledger_never_deleted BEFORE DELETE ON ledger
BEGIN SELECT RAISE(ABORT, 'ledger entries are never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER versions_never_updated BEFORE UPDATE ON versions
BEGIN SELECT RAISE(ABORT, 'old versions are never edited'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER versions_never_deleted BEFORE DELETE ON versions
BEGIN SELECT RAISE(ABORT, 'old versions are never deleted'); END;
-- +goose StatementEnd
