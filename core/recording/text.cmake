target_sources(beatwitness_core PRIVATE text_recording.cpp text_recording.h)
