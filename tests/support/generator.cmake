# Seeded recording pairs with known truth, and the writers that turn them into files.
target_sources(beatwitness_test_support PRIVATE
  generator.cpp generator.h
  generator_estimand.cpp generator_estimand.h
  generator_faults.cpp generator_hard.cpp generator_plan.cpp
  generator_random.cpp generator_random.h
  generator_sample.cpp generator_sample.h
  generator_sampling.cpp generator_sampling.h
  generator_signal.cpp generator_signal.h
  recording_writer.cpp recording_writer.h
  recording_writer_fit.cpp recording_writer_rows.cpp recording_writer_rows.h recording_writer_xml.cpp
  scenario.cpp scenario.h scenario_body.cpp)
target_link_libraries(beatwitness_test_support PRIVATE nlohmann_json::nlohmann_json)

# Writes the pair of sample-sessions/: make_sample_pair FOLDER
add_executable(make_sample_pair make_sample.cpp)
target_link_libraries(make_sample_pair PRIVATE beatwitness_test_support beatwitness_warnings)
