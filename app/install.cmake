# What `cmake --install` puts where: the program, what a desktop needs to offer it, and the sample sessions
# where sampleFolder() looks for them.
include(GNUInstallDirs)
set(id org.beatwitness.Beatwitness)
set(resources ${PROJECT_SOURCE_DIR}/resources)
install(TARGETS beatwitness RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(FILES ${resources}/${id}.desktop DESTINATION ${CMAKE_INSTALL_DATADIR}/applications)
install(FILES ${resources}/${id}.metainfo.xml DESTINATION ${CMAKE_INSTALL_DATADIR}/metainfo)
install(FILES ${resources}/${id}.mime.xml DESTINATION ${CMAKE_INSTALL_DATADIR}/mime/packages RENAME ${id}.xml)
install(FILES ${resources}/icons/beatwitness.svg
  DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps RENAME ${id}.svg)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/sample-sessions DESTINATION ${CMAKE_INSTALL_DATADIR}/beatwitness)
install(FILES ${resources}/man/beatwitness-agreement.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
