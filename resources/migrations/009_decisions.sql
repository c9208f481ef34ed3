-- What a reviewer made of the flags of a wearing, in instants of its own recording, so that a new alignment keeps it.
-- A decision is never dropped by an analysis: it finds its flag by overlap, or is listed as finding none.
CREATE TABLE flag_decision (
    wearing_id INTEGER NOT NULL REFERENCES wearing (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,  -- unlike the others of the session
    verdict TEXT NOT NULL CHECK (verdict IN ('kept', 'dismissed', 'relabelled', 'added', 'moved')),
    flagged TEXT NOT NULL CHECK (flagged IN ('test', 'reference')),
    kind TEXT NOT NULL,       -- what the analysis found; of an added flag the reviewer's
    begin_us INTEGER NOT NULL,
    end_us INTEGER NOT NULL CHECK (end_us >= begin_us),
    new_kind TEXT,            -- what it became, where that is another
    new_begin_us INTEGER,
    new_end_us INTEGER,
    excludes INTEGER,         -- of the reference: whether its seconds leave the agreement; null: as found
    note TEXT NOT NULL,
    blind INTEGER NOT NULL,   -- device names and colours were hidden
    round INTEGER NOT NULL,   -- which deciding of the session, from 1
    decided_at_us INTEGER NOT NULL,
    PRIMARY KEY (wearing_id, number)
) STRICT, WITHOUT ROWID;

-- Decidings of a session after the first, each without a sight of those before.
CREATE TABLE review_pass (
    session_id INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
    number INTEGER NOT NULL CHECK (number >= 2),
    blind INTEGER NOT NULL,
    begun_at_us INTEGER NOT NULL,
    finished_at_us INTEGER,   -- null: under way, and without effect on any number
    PRIMARY KEY (session_id, number)
) STRICT, WITHOUT ROWID;

-- Thresholds that a project has changed; all others are the program's.
CREATE TABLE project_threshold (
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    "key" TEXT NOT NULL,
    "value" REAL NOT NULL,
    PRIMARY KEY (project_id, "key")
) STRICT, WITHOUT ROWID;

-- Outcomes are only ever a copy, so that the table may be made anew: with the thresholds that they were worked out
-- under, and what decisions came to.
DROP TABLE outcome;
CREATE TABLE outcome (
    wearing_id INTEGER NOT NULL REFERENCES wearing (id) ON DELETE CASCADE,
    reference_faults TEXT NOT NULL CHECK (reference_faults IN ('exclude', 'keep')),
    thresholds TEXT NOT NULL,   -- those that are changed; empty: none
    stamp TEXT NOT NULL,
    has_heart_rate INTEGER NOT NULL,
    refused INTEGER NOT NULL,
    refused_because TEXT NOT NULL,
    laid_us INTEGER NOT NULL,
    offset_s REAL NOT NULL,
    drift_ppm REAL NOT NULL,
    excluded_s REAL NOT NULL,
    flags_by_hand INTEGER NOT NULL,
    reference_flags_by_hand INTEGER NOT NULL,
    unmatched_decisions INTEGER NOT NULL,
    reviewer_kappa REAL,
    flags BLOB NOT NULL,        -- core/library/outcome_store.cpp has the coding of these
    aligned BLOB NOT NULL,
    as_recorded BLOB NOT NULL,
    PRIMARY KEY (wearing_id, reference_faults, thresholds)
) STRICT, WITHOUT ROWID;
