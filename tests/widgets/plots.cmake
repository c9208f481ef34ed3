# Tests of theme, formatter and plot views, and the program that draws them to be looked at.
add_library(beatwitness_demo_session STATIC plots/demo_session.cpp plots/demo_session.h)
target_link_libraries(beatwitness_demo_session PUBLIC beatwitness_core PRIVATE beatwitness_warnings)

add_executable(show_plots plots/show_plots.cpp)
target_link_libraries(show_plots PRIVATE beatwitness_demo_session beatwitness_widgets beatwitness_warnings)

find_package(Qt6 6.4 REQUIRED COMPONENTS Test)
beatwitness_test(plots_test
  qt_main.cpp
  plots/agreement_map_view_test.cpp
  plots/colour_difference.h
  plots/line_image_test.cpp
  plots/loss_curve_view_test.cpp
  plots/number_text_test.cpp
  plots/palette_test.cpp
  plots/short_names_test.cpp
  plots/timeline_context_test.cpp
  plots/timeline_view_test.cpp
  LIBRARIES beatwitness_demo_session beatwitness_widgets Qt6::Test)
