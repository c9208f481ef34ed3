-- What a reviewer says of a session beside its recordings, how each clock is brought to the reference's, and the
-- plan. Texts that are not known are empty, numbers that are not known are null, as before.

ALTER TABLE session ADD COLUMN meal TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN caffeine TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN prior_exercise TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN medication TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN place TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN temperature TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN protocol TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN processing TEXT NOT NULL DEFAULT '';  -- epoch and smoothing of the criterion

-- `position` is where it was worn, `instructed` where its maker says it should be.
ALTER TABLE wearing ADD COLUMN instructed TEXT NOT NULL DEFAULT '';
ALTER TABLE wearing ADD COLUMN electrodes TEXT NOT NULL DEFAULT '';  -- wetted, dry, gel, …
ALTER TABLE wearing ADD COLUMN clock TEXT NOT NULL DEFAULT 'auto'
    CHECK (clock IN ('auto', 'offset', 'none', 'shared-source'));
ALTER TABLE wearing ADD COLUMN clock_offset_s REAL NOT NULL DEFAULT 0;     -- of 'offset'
ALTER TABLE wearing ADD COLUMN clock_drift_ppm REAL NOT NULL DEFAULT 0;    -- likewise

ALTER TABLE device ADD COLUMN model TEXT NOT NULL DEFAULT '';
ALTER TABLE device ADD COLUMN colour INTEGER;  -- place among the colours of traces, from 0

-- A session that is still to come, or has come: then `session_id` says which one it became.
CREATE TABLE planned_session (
    id INTEGER PRIMARY KEY,
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    name TEXT NOT NULL,
    activity_id INTEGER REFERENCES activity (id),
    day TEXT NOT NULL DEFAULT '',  -- YYYY-MM-DD
    note TEXT NOT NULL DEFAULT '',
    session_id INTEGER REFERENCES session (id) ON DELETE SET NULL,
    added_at_us INTEGER NOT NULL,
    deleted_at_us INTEGER
) STRICT;
CREATE INDEX planned_session_project ON planned_session (project_id);
CREATE INDEX planned_session_session ON planned_session (session_id);

CREATE TABLE planned_device (
    planned_id INTEGER NOT NULL REFERENCES planned_session (id) ON DELETE CASCADE,
    device_id INTEGER NOT NULL REFERENCES device (id) ON DELETE CASCADE,
    PRIMARY KEY (planned_id, device_id)
) STRICT, WITHOUT ROWID;
