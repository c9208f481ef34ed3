# Seeded recording pairs with known truth, and the writers that turn them into files.
target_sources(beatwitness_test_support PRIVATE
  archive_writer.cpp archive_writer.h
  generator.cpp generator.h
  generator_estimand.cpp generator_estimand.h
  generator_faults.cpp generator_hard.cpp generator_plan.cpp
  generator_random.cpp generator_random.h
  generator_sample.cpp generator_sample.h
  generator_sampling.cpp generator_sampling.h
  generator_signal.cpp generator_signal.h
  generator_truth.cpp generator_truth.h
  recording_writer.cpp recording_writer.h
  recording_writer_beats.cpp recording_writer_fit.cpp recording_writer_json.cpp
  recording_writer_rows.cpp recording_writer_rows.h recording_writer_xml.cpp
  sample_library.cpp sample_library.h sample_library_bodies.cpp
  sample_library_devices.cpp sample_library_devices.h sample_library_measures.cpp sample_library_sessions.cpp
  sample_library_truth.cpp sample_library_writers.cpp sample_library_writers.h
  scenario.cpp scenario.h scenario_body.cpp)
target_link_libraries(beatwitness_test_support PRIVATE nlohmann_json::nlohmann_json)

# Writes the files of sample-sessions/: make_sample_sessions FOLDER
add_executable(make_sample_sessions make_sample.cpp)
target_link_libraries(make_sample_sessions PRIVATE beatwitness_test_support beatwitness_warnings)
