# cmake --install, and the Debian package: cpack --config build/CPackConfig.cmake -B build
include(GNUInstallDirs)

# The manual page and the completions are what the program says of itself.
set(words ${CMAKE_BINARY_DIR}/words)
file(MAKE_DIRECTORY ${words})
add_custom_command(
  TARGET restwell
  POST_BUILD
  COMMAND restwell man > ${words}/restwell.1
  COMMAND restwell completion bash > ${words}/restwell
  COMMAND restwell completion zsh > ${words}/_restwell
  COMMAND restwell completion fish > ${words}/restwell.fish
  VERBATIM)

install(TARGETS restwell RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(FILES ${words}/restwell.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${words}/restwell DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
# Debian's zsh looks in the first under /usr, in the second under /usr/local.
foreach(folder vendor-completions site-functions)
  install(FILES ${words}/_restwell DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/${folder})
endforeach()
install(FILES ${words}/restwell.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)
install(DIRECTORY scenarios DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME restwell)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_PACKAGE_CONTACT "the makers of restwell <makers@example.org>") # example.org: nobody's
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "what an old septic system with dry wells will do")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION
    "Predicts pump-out dates, the box's shares, water levels and clogging of dry wells (seepage
pits), overflow and rest times of an on-site sewage system, and sizes replacement pits. A calculation
on assumptions: the local code, the health department and licensed practitioners decide.")
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS gnuplot-nox)
set(CPACK_DEBIAN_PACKAGE_SUGGESTS chromium)
set(CPACK_STRIP_FILES ON)
include(CPack)
