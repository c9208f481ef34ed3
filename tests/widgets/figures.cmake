# Tests of figures, and the program that draws every kind to be looked at.
add_executable(show_figures figures/show_figures.cpp)
target_link_libraries(show_figures PRIVATE beatwitness_demo_session beatwitness_widgets beatwitness_warnings)
beatwitness_test(figures_test
  qt_main.cpp
  figures/axis_ticks_test.cpp
  figures/figure_export_test.cpp
  figures/figure_size_test.cpp
  figures/motion_export_test.cpp
  figures/scene_layout_test.cpp
  figures/vector_line_test.cpp
  LIBRARIES beatwitness_demo_session beatwitness_widgets Qt6::Test)
