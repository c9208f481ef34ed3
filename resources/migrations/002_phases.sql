-- What people marked in a session, in instants of its reference's clock: since 1970 where the reference knows
-- the date, else since the zero of its file.

CREATE TABLE phase (
    session_id INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    begin_us INTEGER NOT NULL,
    end_us INTEGER NOT NULL CHECK (end_us > begin_us),
    kind TEXT NOT NULL,
    label TEXT NOT NULL,  -- empty: the kind stands for it
    level INTEGER NOT NULL CHECK (level >= 0),
    origin TEXT NOT NULL CHECK (origin IN ('hand', 'lap', 'suggestion', 'copy')),
    PRIMARY KEY (session_id, ordinal)
) STRICT, WITHOUT ROWID;

CREATE TABLE pin (
    session_id INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
    ordinal INTEGER NOT NULL,
    at_us INTEGER NOT NULL,
    note TEXT NOT NULL,
    PRIMARY KEY (session_id, ordinal)
) STRICT, WITHOUT ROWID;
