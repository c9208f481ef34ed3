-- What a file says of its origin beside the device, and its span: first and last valid heart rate on the clock of the
-- recording. The span is null where it was stored before this column, or where there is no valid heart rate.

ALTER TABLE recording ADD COLUMN serial TEXT NOT NULL DEFAULT '';
ALTER TABLE recording ADD COLUMN firmware TEXT NOT NULL DEFAULT '';
ALTER TABLE recording ADD COLUMN sport TEXT NOT NULL DEFAULT '';
ALTER TABLE recording ADD COLUMN begin_us INTEGER;
ALTER TABLE recording ADD COLUMN end_us INTEGER;
