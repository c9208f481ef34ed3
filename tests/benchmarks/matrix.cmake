# The left side of the window over 10,000 sessions, offscreen.
beatwitness_benchmark(matrix_benchmark matrix_benchmark.cpp LIBRARIES beatwitness_workstation)
