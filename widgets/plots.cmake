target_sources(beatwitness_widgets PRIVATE
  theme/palette.cpp theme/palette.h theme/cut_line.cpp theme/cut_line.h theme/hatch.cpp theme/hatch.h
  theme/theme.cpp theme/theme.h
  format/number_text.cpp format/number_text.h
  format/short_names.cpp format/short_names.h
  plots/agreement_map_canvas.cpp plots/agreement_map_canvas.h
  plots/agreement_map_drawing.cpp
  plots/agreement_map_view.cpp plots/agreement_map_view.h
  plots/colour_scale.h
  plots/context_line.cpp plots/context_line.h
  plots/cursor_reading.cpp plots/cursor_reading.h
  plots/line_image.cpp plots/line_image.h
  plots/loss_curve_view.cpp plots/loss_curve_view.h
  plots/plot_canvas.cpp plots/plot_canvas.h
  plots/session_time_ticker.cpp plots/session_time_ticker.h
  plots/trace_strip.cpp plots/trace_strip.h
  plots/timeline_canvas.cpp plots/timeline_canvas.h
  plots/timeline_context.cpp
  plots/timeline_drawing.cpp
  plots/timeline_gestures.cpp
  plots/timeline_marks.h
  plots/timeline_phases.cpp
  plots/timeline_view.cpp plots/timeline_view.h
)
