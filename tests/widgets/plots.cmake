# Tests of theme, formatter and plot views, and the program that draws them to be looked at.
add_library(beatwitness_demo_session STATIC plots/demo_session.cpp plots/demo_session.h)
target_link_libraries(beatwitness_demo_session PUBLIC beatwitness_core PRIVATE beatwitness_warnings)

add_executable(show_plots plots/show_plots.cpp)
target_link_libraries(show_plots PRIVATE beatwitness_demo_session beatwitness_widgets beatwitness_warnings)
