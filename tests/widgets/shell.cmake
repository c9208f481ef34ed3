# Tests of background work, models and inputs.
find_package(Qt6 6.4 REQUIRED COMPONENTS Test)
beatwitness_test(widgets_shell_tests
  qt_main.cpp
  background/in_parallel_test.cpp
  background/task_runner_test.cpp
  inputs/message_banner_test.cpp
  inputs/offset_field_test.cpp
  models/agreement_table_model_test.cpp models/group_table_model_test.cpp
  models/flag_list_model_test.cpp
  models/small_session.h
  LIBRARIES beatwitness_widgets Qt6::Test)
