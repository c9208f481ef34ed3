target_sources(beatwitness_core PRIVATE fit_recording.cpp fit_recording.h)
