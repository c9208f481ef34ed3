-- Instants are microseconds since 1970-01-01T00:00:00Z, in columns that end in _us. What is deleted keeps its row,
-- with the instant of deletion, until it is purged. Texts that are not known are empty, numbers that are not known
-- are null.

CREATE TABLE wearer (
    id INTEGER PRIMARY KEY,
    label TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT '',
    birth_year INTEGER,
    sex TEXT NOT NULL DEFAULT '',
    height_cm REAL,
    mass_kg REAL,
    skin_tone TEXT NOT NULL DEFAULT '',
    wrist_cm REAL,
    deleted_at_us INTEGER
) STRICT;
CREATE UNIQUE INDEX wearer_label ON wearer (label) WHERE deleted_at_us IS NULL;

CREATE TABLE device (
    id INTEGER PRIMARY KEY,
    label TEXT NOT NULL,
    sensor TEXT NOT NULL DEFAULT '',
    note TEXT NOT NULL DEFAULT '',
    deleted_at_us INTEGER
) STRICT;
CREATE UNIQUE INDEX device_label ON device (label) WHERE deleted_at_us IS NULL;

CREATE TABLE activity (
    id INTEGER PRIMARY KEY,
    label TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT '',
    deleted_at_us INTEGER
) STRICT;
CREATE UNIQUE INDEX activity_label ON activity (label) WHERE deleted_at_us IS NULL;

-- One workout.
CREATE TABLE session (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    activity_id INTEGER REFERENCES activity (id),
    wearer_id INTEGER REFERENCES wearer (id),
    note TEXT NOT NULL DEFAULT '',
    zone TEXT NOT NULL DEFAULT '',
    start_us INTEGER,          -- first valid heart rate of the reference, where its file knows the date
    counted_begin_us INTEGER,  -- the span that counts, on the reference's clock; null: all of it
    counted_end_us INTEGER,
    added_at_us INTEGER NOT NULL,
    deleted_at_us INTEGER
) STRICT;
CREATE INDEX session_name ON session (name);

-- A question, with a selection of sessions and devices.
CREATE TABLE project (
    id INTEGER PRIMARY KEY,
    label TEXT NOT NULL,
    question TEXT NOT NULL DEFAULT '',
    added_at_us INTEGER NOT NULL,
    deleted_at_us INTEGER
) STRICT;
CREATE UNIQUE INDEX project_label ON project (label) WHERE deleted_at_us IS NULL;

CREATE TABLE project_session (
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    session_id INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
    PRIMARY KEY (project_id, session_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX project_session_session ON project_session (session_id);

-- The columns of the project's matrix. A project without rows here shows every device of its sessions.
CREATE TABLE project_device (
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    device_id INTEGER NOT NULL REFERENCES device (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    PRIMARY KEY (project_id, device_id)
) STRICT, WITHOUT ROWID;

-- One unit of a device on one body place in one session. The reference with the lowest ordinal scores the tests.
CREATE TABLE wearing (
    id INTEGER PRIMARY KEY,
    session_id INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    device_id INTEGER NOT NULL REFERENCES device (id),
    role TEXT NOT NULL CHECK (role IN ('reference', 'test', 'context')),
    unit TEXT NOT NULL DEFAULT '',
    firmware TEXT NOT NULL DEFAULT '',
    position TEXT NOT NULL DEFAULT '',
    side TEXT NOT NULL DEFAULT '',
    tightness TEXT NOT NULL DEFAULT '',
    mode TEXT NOT NULL DEFAULT '',
    outcome TEXT NOT NULL CHECK (outcome IN ('recorded', 'failed')),
    reason TEXT NOT NULL DEFAULT '',
    deleted_at_us INTEGER
) STRICT;
CREATE INDEX wearing_session ON wearing (session_id, ordinal);
CREATE INDEX wearing_device ON wearing (device_id);

-- One file, as it was read.
CREATE TABLE recording (
    id INTEGER PRIMARY KEY,
    sha256 TEXT NOT NULL UNIQUE,
    file TEXT NOT NULL,            -- as the user named it
    format TEXT NOT NULL,
    clock TEXT NOT NULL CHECK (clock IN ('utc', 'zone-unknown', 'none')),
    device TEXT NOT NULL,          -- as the file names it
    row_count INTEGER NOT NULL,
    artefact_pct REAL,
    read_by TEXT NOT NULL,         -- the program that read it
    added_at_us INTEGER NOT NULL
) STRICT;

-- The bytes of the file in a zstd frame; a copy for sharing leaves them out.
CREATE TABLE original (
    recording_id INTEGER PRIMARY KEY REFERENCES recording (id) ON DELETE CASCADE,
    size INTEGER NOT NULL,
    bytes BLOB NOT NULL
) STRICT;

-- core/library/column_codec.h has the coding.
CREATE TABLE channel (
    recording_id INTEGER NOT NULL REFERENCES recording (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    kind TEXT NOT NULL,
    samples INTEGER NOT NULL,
    times BLOB NOT NULL,
    "values" BLOB NOT NULL,
    PRIMARY KEY (recording_id, ordinal)
) STRICT;

CREATE TABLE recording_lap (
    recording_id INTEGER NOT NULL REFERENCES recording (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    begin_us INTEGER NOT NULL,
    end_us INTEGER NOT NULL,
    label TEXT NOT NULL,
    PRIMARY KEY (recording_id, ordinal)
) STRICT, WITHOUT ROWID;

CREATE TABLE recording_pause (
    recording_id INTEGER NOT NULL REFERENCES recording (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    begin_us INTEGER NOT NULL,
    end_us INTEGER NOT NULL,
    PRIMARY KEY (recording_id, ordinal)
) STRICT, WITHOUT ROWID;

CREATE TABLE recording_guess (
    recording_id INTEGER NOT NULL REFERENCES recording (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    what TEXT NOT NULL,
    guess TEXT NOT NULL,
    PRIMARY KEY (recording_id, ordinal)
) STRICT, WITHOUT ROWID;

CREATE TABLE recording_warning (
    recording_id INTEGER NOT NULL REFERENCES recording (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    sentence TEXT NOT NULL,
    PRIMARY KEY (recording_id, ordinal)
) STRICT, WITHOUT ROWID;

-- Which recordings a wearing draws from, and which part of each; a null span is all of it.
CREATE TABLE wearing_recording (
    wearing_id INTEGER NOT NULL REFERENCES wearing (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    recording_id INTEGER NOT NULL REFERENCES recording (id),
    begin_us INTEGER,
    end_us INTEGER,
    PRIMARY KEY (wearing_id, ordinal)
) STRICT, WITHOUT ROWID;
CREATE INDEX wearing_recording_recording ON wearing_recording (recording_id);

-- What changed when.
CREATE TABLE journal (
    id INTEGER PRIMARY KEY,
    at_us INTEGER NOT NULL,
    program TEXT NOT NULL,
    what TEXT NOT NULL,
    session_id INTEGER  -- no reference: the entry outlives the session
) STRICT;
