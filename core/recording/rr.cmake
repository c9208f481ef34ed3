target_sources(beatwitness_core PRIVATE
  beats.cpp beats.h beats_artefacts.cpp beats_artefacts.h
  hrm_recording.cpp hrm_recording.h
  json_beats.cpp json_beats.h json_choice.cpp json_choice.h json_columns.cpp json_columns.h
  json_recording.cpp json_recording.h json_tables.cpp json_tables.h
  rr_columns.cpp rr_columns.h rr_layout.cpp rr_layout.h rr_notes.cpp rr_notes.h rr_recording.cpp rr_recording.h)
