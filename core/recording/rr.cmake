target_sources(beatwitness_core PRIVATE
  beats.cpp beats.h beats_artefacts.cpp beats_artefacts.h
  hrm_recording.cpp hrm_recording.h
  rr_layout.cpp rr_layout.h rr_recording.cpp rr_recording.h)
