# Frames of the plot views, offscreen, 1920 x 1080.
add_executable(drawing_benchmark drawing_benchmark.cpp)
target_link_libraries(drawing_benchmark PRIVATE beatwitness_demo_session beatwitness_widgets beatwitness_warnings)

# Stills, maps, vector files and frames of films.
add_executable(figure_benchmark figure_benchmark.cpp)
target_link_libraries(figure_benchmark PRIVATE beatwitness_demo_session beatwitness_widgets beatwitness_warnings)
