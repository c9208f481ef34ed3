target_sources(beatwitness_core PRIVATE
  fit_assembler.cpp fit_assembler.h fit_beats.cpp fit_beats.h fit_checksum.cpp fit_checksum.h
  fit_decoder.cpp fit_decoder.h fit_field.cpp fit_field.h fit_file.cpp fit_file.h
  fit_heart_events.cpp fit_heart_events.h fit_messages.cpp fit_messages.h
  fit_recording.cpp fit_recording.h fit_series.h fit_sports.cpp fit_sports.h)
