target_sources(beatwitness_core PRIVATE
  archive.cpp archive.h archive_gzip.cpp archive_gzip.h archive_stream.cpp archive_stream.h gpx_sink.cpp gpx_sink.h tcx_sink.cpp tcx_sink.h
  xml_collector.cpp xml_collector.h xml_names.cpp xml_names.h xml_recording.cpp xml_recording.h
  xml_walk.cpp xml_walk.h)
target_link_libraries(beatwitness_core PRIVATE pugixml::pugixml PkgConfig::LIBARCHIVE ZLIB::ZLIB)
