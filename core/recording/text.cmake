target_sources(beatwitness_core PRIVATE
  text_calendar.cpp text_calendar.h text_collector.cpp text_collector.h text_columns.cpp text_columns.h
  text_dialect.cpp text_dialect.h text_encoding.cpp text_encoding.h text_numbers.cpp text_numbers.h
  text_peek.cpp text_peek.h text_order.cpp text_order.h text_paced.cpp text_paced.h text_plan.cpp text_plan.h
  text_recording.cpp text_recording.h text_rows.cpp text_rows.h text_start.cpp text_start.h
  text_time_reader.cpp text_times.cpp text_times.h text_words.cpp text_words.h text_zones.cpp text_zones.h)
# Names of zones ("Europe/Paris") need the compiled half of the date library.
target_link_libraries(beatwitness_core PRIVATE date::date-tz)
