beatwitness_test(xml_reader_tests
  archive_tests.cpp xml_damage_tests.cpp xml_rules_tests.cpp xml_shared_recordings_tests.cpp
  LIBRARIES nlohmann_json::nlohmann_json PkgConfig::LIBARCHIVE)
