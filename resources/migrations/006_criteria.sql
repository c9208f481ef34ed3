-- Requirements of a project, set before or after its data was there. What is withdrawn stays, with the instant.
CREATE TABLE criterion (
    id INTEGER PRIMARY KEY,
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    metric TEXT NOT NULL,
    "limit" REAL NOT NULL,
    sense TEXT NOT NULL CHECK (sense IN ('at most', 'at least', 'within')),
    device TEXT NOT NULL DEFAULT '',    -- label; empty: every device
    activity TEXT NOT NULL DEFAULT '',  -- likewise
    confidence REAL NOT NULL,
    set_at_us INTEGER NOT NULL,
    withdrawn_at_us INTEGER
) STRICT;
CREATE INDEX criterion_project ON criterion (project_id);

-- What was published: the question as it was asked, and every number of its answer.
CREATE TABLE edition (
    id INTEGER PRIMARY KEY,
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    label TEXT NOT NULL,
    frozen_at_us INTEGER NOT NULL,
    program TEXT NOT NULL,
    analysis_version INTEGER NOT NULL,
    question TEXT NOT NULL,
    criteria TEXT NOT NULL,
    settings TEXT NOT NULL,
    decisions TEXT NOT NULL,
    data TEXT NOT NULL,  -- sessions with the digests of their recordings
    UNIQUE (project_id, label)
) STRICT;

CREATE TABLE edition_number (
    edition_id INTEGER NOT NULL REFERENCES edition (id) ON DELETE CASCADE,
    "key" TEXT NOT NULL,
    "value" REAL,  -- null: could not be had
    PRIMARY KEY (edition_id, "key")
) STRICT, WITHOUT ROWID;
