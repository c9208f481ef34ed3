-- What an analysis found out about a wearing, kept so that a project is pooled without analysing anew. Only ever a
-- copy: a row whose stamp is not that of the inputs, settings and program at hand is worked out again.
CREATE TABLE outcome (
    wearing_id INTEGER NOT NULL REFERENCES wearing (id) ON DELETE CASCADE,
    reference_faults TEXT NOT NULL CHECK (reference_faults IN ('exclude', 'keep')),
    stamp TEXT NOT NULL,
    has_heart_rate INTEGER NOT NULL,
    refused INTEGER NOT NULL,
    refused_because TEXT NOT NULL,
    laid_us INTEGER NOT NULL,
    offset_s REAL NOT NULL,
    drift_ppm REAL NOT NULL,
    excluded_s REAL NOT NULL,
    flags BLOB NOT NULL,        -- core/library/outcome_store.cpp has the coding of these
    aligned BLOB NOT NULL,
    as_recorded BLOB NOT NULL,
    PRIMARY KEY (wearing_id, reference_faults)
) STRICT, WITHOUT ROWID;
