beatwitness_test(fit_reader_tests
  fit_damage_tests.cpp fit_heart_tests.cpp fit_protocol_tests.cpp fit_shared_recordings_tests.cpp
  LIBRARIES nlohmann_json::nlohmann_json)
