# background/, models/ and inputs/: what the window is made of beside the plots.
target_sources(beatwitness_widgets PRIVATE
  background/in_parallel.cpp background/in_parallel.h
  background/progress_strip.cpp background/progress_strip.h
  background/task_runner.cpp background/task_runner.h
  inputs/check_menu.cpp inputs/check_menu.h
  inputs/drop_frame.cpp inputs/drop_frame.h
  inputs/field_list.cpp inputs/field_list.h
  inputs/ink_icon.cpp inputs/ink_icon.h
  inputs/labels.cpp inputs/labels.h
  inputs/message_banner.cpp inputs/message_banner.h
  inputs/offset_field.cpp inputs/offset_field.h
  inputs/page_tabs.cpp inputs/page_tabs.h
  inputs/section.cpp inputs/section.h
  inputs/swatch.cpp inputs/swatch.h
  inputs/top_bar.cpp inputs/top_bar.h
  models/agreement_table_model.cpp models/agreement_table_model.h
  models/group_table_model.cpp models/group_table_model.h
  models/flag_delegate.cpp models/flag_delegate.h
  models/flag_list_model.cpp models/flag_list_model.h)
target_sources(beatwitness_widgets PRIVATE ${PROJECT_SOURCE_DIR}/resources/beatwitness.qrc)
set_target_properties(beatwitness_widgets PROPERTIES AUTORCC ON)
