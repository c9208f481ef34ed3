beatwitness_test(text_reader_tests
  text_damage_tests.cpp text_round_trip_tests.cpp text_rules_tests.cpp text_shared_recordings_tests.cpp
  LIBRARIES date::date nlohmann_json::nlohmann_json)
