# Seeded recording pairs with known truth.
target_sources(beatwitness_test_support PRIVATE
  generator.cpp generator.h
  generator_estimand.cpp generator_estimand.h
  generator_faults.cpp generator_hard.cpp generator_plan.cpp
  generator_random.cpp generator_random.h
  generator_sampling.cpp generator_sampling.h
  generator_signal.cpp generator_signal.h
  recording_writer.cpp recording_writer.h
  scenario.cpp scenario.h scenario_body.cpp)
