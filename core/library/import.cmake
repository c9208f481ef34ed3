target_sources(beatwitness_core PRIVATE
  file_words.cpp file_words.h import_groups.cpp import_groups.h import_labels.cpp import_labels.h
  import_pieces.cpp import_pieces.h import_plan.cpp import_plan.h library_knowledge.cpp library_knowledge.h
  offered_file.cpp offered_file.h reference_guess.cpp reference_guess.h same_samples.cpp same_samples.h)
