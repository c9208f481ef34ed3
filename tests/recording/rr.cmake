beatwitness_test(beat_reader_tests
  rr_artefacts_tests.cpp rr_damage_tests.cpp rr_rules_tests.cpp rr_shared_recordings_tests.cpp
  LIBRARIES nlohmann_json::nlohmann_json)
beatwitness_test(json_reader_tests json_damage_tests.cpp json_rules_tests.cpp)
