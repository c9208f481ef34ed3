# figures/: the one drawing that screen, export and write-up share.
target_sources(beatwitness_widgets PRIVATE
  figures/axis_ticks.cpp figures/axis_ticks.h
  figures/card_layout.cpp figures/card_layout.h
  figures/end_labels.cpp
  figures/figure_export.cpp figures/figure_export.h
  figures/figure_preview.cpp figures/figure_preview.h
  figures/figure_size.cpp figures/figure_size.h
  figures/figure_text.cpp figures/figure_text.h
  figures/film_encoder.cpp figures/film_encoder.h
  figures/motion_export.cpp figures/motion_export.h
  figures/scene_layout.cpp figures/scene_layout.h
  figures/scene_marks.cpp figures/scene_marks.h
  figures/scene_painter.cpp figures/scene_painter.h
  figures/scene_view.cpp figures/scene_view.h
  figures/vector_line.cpp figures/vector_line.h)
