-- A criterion whose setting was undone counts as never set; one that was withdrawn stays with its instant.
ALTER TABLE criterion ADD COLUMN deleted_at_us INTEGER;

-- Two devices, versions or years held against each other, kept by name.
CREATE TABLE comparison (
    id INTEGER PRIMARY KEY,
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    label TEXT NOT NULL,
    a TEXT NOT NULL,  -- "band", "band firmware 2.5", "band in 2031"
    b TEXT NOT NULL,
    choices TEXT NOT NULL DEFAULT '',  -- clock, epoch, …: a word and value a line
    added_at_us INTEGER NOT NULL,
    deleted_at_us INTEGER
) STRICT;
CREATE INDEX comparison_project ON comparison (project_id);
