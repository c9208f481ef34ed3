beatwitness_test(text_reader_tests
  text_shared_recordings_tests.cpp
  LIBRARIES nlohmann_json::nlohmann_json)
