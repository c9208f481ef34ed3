# Needs clang: -fsanitize=fuzzer brings main() along; core must be built with BEATWITNESS_SANITIZE=address,undefined,fuzzer-no-link.
add_executable(fit_fuzzer fit_fuzzer.cpp)
target_link_libraries(fit_fuzzer PRIVATE beatwitness_core beatwitness_warnings)
target_link_options(fit_fuzzer PRIVATE -fsanitize=fuzzer)
