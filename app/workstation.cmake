# The window: everything of the workstation but main(), so that tests drive the real one.
set(CMAKE_AUTOMOC ON)
add_library(beatwitness_workstation STATIC
  document/annotations.cpp document/annotations.h
  document/blind_session.cpp document/blind_session.h
  document/change_session.cpp document/change_session.h
  document/compare_answer.cpp document/compare_answer.h
  document/document.cpp document/document.h
  document/edit_library.cpp document/edit_library.h
  document/headlines.cpp document/headlines.h
  document/library_contents.cpp document/library_contents.h
  document/library_document.cpp document/library_document.h
  document/library_marks.cpp document/library_marks.h
  document/import_board.cpp document/import_board.h
  document/import_reading.cpp document/import_reading.h
  document/phase_copies.cpp document/phase_copies.h
  document/project_answer.cpp document/project_answer.h
  document/propose_roles.cpp document/propose_roles.h
  document/reviewing.cpp document/reviewing.h
  document/sample_library.cpp document/sample_library.h
  document/selection.cpp document/selection.h
  document/session_plan.cpp document/session_plan.h
  document/session_words.cpp document/session_words.h
  document/stored_session.cpp document/stored_session.h
  pages/agreement/agreement_page.cpp pages/agreement/agreement_page.h
  pages/agreement/group_table.cpp pages/agreement/group_table.h
  pages/agreement/pooled_side.cpp pages/agreement/pooled_side.h
  pages/agreement/scope_bar.cpp pages/agreement/scope_bar.h
  pages/clock_panel.cpp pages/clock_panel.h
  pages/compare/compare_bar.cpp pages/compare/compare_bar.h
  pages/compare/compare_page.cpp pages/compare/compare_page.h
  pages/compare/compare_table_model.cpp pages/compare/compare_table_model.h
  pages/compare/kept_comparisons.cpp pages/compare/kept_comparisons.h
  pages/compare/scene_column.cpp pages/compare/scene_column.h
  pages/empty_page.cpp pages/empty_page.h
  pages/filter_bar.cpp pages/filter_bar.h
  pages/figures/export_dialogs.cpp pages/figures/export_dialogs.h
  pages/figures/figure_actions.cpp pages/figures/figure_actions.h
  pages/figures/figure_commands.cpp pages/figures/figure_commands.h
  pages/figures/figure_exports.cpp pages/figures/figure_exports.h
  pages/figures/figure_list.cpp pages/figures/figure_list.h
  pages/figures/figure_look.h
  pages/figures/figure_maker.cpp pages/figures/figure_maker.h
  pages/figures/figure_properties.cpp pages/figures/figure_properties.h
  pages/figures/figure_rows.cpp pages/figures/figure_rows.h
  pages/figures/figure_words.cpp pages/figures/figure_words.h
  pages/figures/figures_page.cpp pages/figures/figures_page.h
  pages/flags_panel.cpp pages/flags_panel.h
  pages/phases_panel.cpp pages/phases_panel.h
  pages/pins_panel.cpp pages/pins_panel.h
  pages/play_bar.cpp pages/play_bar.h
  pages/player.cpp pages/player.h
  pages/matrix/matrix_delegate.cpp pages/matrix/matrix_delegate.h
  pages/matrix/matrix_model.cpp pages/matrix/matrix_model.h
  pages/matrix/matrix_panel.cpp pages/matrix/matrix_panel.h
  pages/matrix/matrix_view.cpp pages/matrix/matrix_view.h
  pages/particulars/particulars_panel.cpp pages/particulars/particulars_panel.h
  pages/particulars/row_fields.h
  pages/particulars/time_words.cpp pages/particulars/time_words.h
  pages/readout_panel.cpp pages/readout_panel.h
  pages/recordings_panel.cpp pages/recordings_panel.h
  pages/session_header.cpp pages/session_header.h
  pages/session_page.cpp pages/session_page.h
  pages/side_column.cpp pages/side_column.h
  windows/commands.cpp windows/commands.h
  windows/copy_phases_dialog.cpp windows/copy_phases_dialog.h
  windows/criteria_dialog.cpp windows/criteria_dialog.h
  windows/deleted_dialog.cpp windows/deleted_dialog.h
  windows/editions_dialog.cpp windows/editions_dialog.h
  windows/flag_commands.cpp windows/flag_commands.h
  windows/folder_files.cpp windows/folder_files.h
  windows/help_dialogs.cpp windows/help_dialogs.h
  windows/import_delegate.cpp windows/import_delegate.h
  windows/import_details.cpp windows/import_details.h
  windows/import_dialog.cpp windows/import_dialog.h
  windows/import_dialog_corrections.cpp
  windows/import_model.cpp windows/import_model.h
  windows/importing.cpp windows/importing.h
  windows/layout_dialog.cpp windows/layout_dialog.h
  windows/library_actions.cpp windows/library_actions.h windows/library_asking.cpp
  windows/library_commands.cpp windows/library_commands.h
  windows/library_files.cpp windows/library_files.h
  windows/main_window.cpp windows/main_window.h
  windows/main_window_agreement.cpp windows/main_window_commands.cpp windows/main_window_compare.cpp
  windows/main_window_figures.cpp windows/main_window_library.cpp
  windows/offsets_dialog.cpp windows/offsets_dialog.h
  windows/opening.cpp windows/opening.h
  windows/preview_lines.cpp windows/preview_lines.h
  windows/report_actions.cpp windows/report_actions.h
  windows/role_dialog.cpp windows/role_dialog.h
  windows/thresholds_dialog.cpp windows/thresholds_dialog.h
  windows/timeline_actions.cpp
  windows/timeline_commands.cpp windows/timeline_commands.h
  windows/view_memory.cpp windows/view_memory.h
  windows/sample_pair.cpp windows/sample_pair.h
  pages/unscored_page.cpp pages/unscored_page.h
  figure_drawing.cpp figure_drawing.h
  offscreen.cpp offscreen.h
  report_drawing.cpp report_drawing.h
  workstation.cpp workstation.h
  workstation_options.cpp workstation_options.h)
# On the one file that needs it, so that the compiler cache serves every clone.
set_source_files_properties(document/sample_library.cpp PROPERTIES
  COMPILE_DEFINITIONS BEATWITNESS_SAMPLE_DIR="${PROJECT_SOURCE_DIR}/sample-sessions")
target_link_libraries(beatwitness_workstation PUBLIC beatwitness_widgets PRIVATE beatwitness_verbs CLI11::CLI11 fmt::fmt beatwitness_warnings)
target_precompile_headers(beatwitness_workstation PRIVATE <QWidget> <QLabel> <QVBoxLayout> <vector> <memory>)
