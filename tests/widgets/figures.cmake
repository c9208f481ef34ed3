# Tests of figures, and the program that draws every kind to be looked at.
add_executable(show_figures figures/show_figures.cpp)
target_link_libraries(show_figures PRIVATE beatwitness_demo_session beatwitness_widgets beatwitness_warnings)
