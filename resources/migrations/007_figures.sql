-- Figures of a project: what each shows, in which words and in which look. The picture is made anew each time.
CREATE TABLE figure (
    id INTEGER PRIMARY KEY,
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    place INTEGER NOT NULL,                   -- among the project's figures, ascending
    name TEXT NOT NULL,
    kind TEXT NOT NULL,                       -- as the verb `figure` writes it
    session_id INTEGER REFERENCES session (id) ON DELETE CASCADE,
    aligned INTEGER NOT NULL DEFAULT 1,
    without_reference_faults INTEGER NOT NULL DEFAULT 1,
    epoch_s INTEGER NOT NULL DEFAULT 1,
    begin_s REAL,                             -- part of the session, in session time; null: from its begin
    end_s REAL,
    flags INTEGER NOT NULL DEFAULT 1,         -- what an overlay shows beside the traces
    phases INTEGER NOT NULL DEFAULT 1,
    pins INTEGER NOT NULL DEFAULT 1,
    error_strip INTEGER NOT NULL DEFAULT 1,
    map_beside INTEGER NOT NULL DEFAULT 0,
    scale TEXT NOT NULL DEFAULT 'log' CHECK (scale IN ('log', 'cube-root', 'linear')),  -- of counts in maps
    title TEXT NOT NULL DEFAULT '',           -- empty: as the program words it
    subtitle TEXT NOT NULL DEFAULT '',
    caption TEXT NOT NULL DEFAULT '',
    dark INTEGER NOT NULL DEFAULT 0,
    transparent INTEGER NOT NULL DEFAULT 0,
    grey INTEGER NOT NULL DEFAULT 0,
    size TEXT NOT NULL DEFAULT '1080p',       -- as the verb `figure` takes it
    dpi INTEGER NOT NULL DEFAULT 300,         -- of a size in mm
    added_at_us INTEGER NOT NULL,
    deleted_at_us INTEGER
) STRICT;
CREATE INDEX figure_project ON figure (project_id, place);
CREATE INDEX figure_session ON figure (session_id);

-- Only these devices and activities; all where there are none.
CREATE TABLE figure_device (
    figure_id INTEGER NOT NULL REFERENCES figure (id) ON DELETE CASCADE,
    device_id INTEGER NOT NULL REFERENCES device (id) ON DELETE CASCADE,
    PRIMARY KEY (figure_id, device_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE figure_activity (
    figure_id INTEGER NOT NULL REFERENCES figure (id) ON DELETE CASCADE,
    activity_id INTEGER NOT NULL REFERENCES activity (id) ON DELETE CASCADE,
    PRIMARY KEY (figure_id, activity_id)
) STRICT, WITHOUT ROWID;
