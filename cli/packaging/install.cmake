# What cmake --install puts where, and the Debian package.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

# printed by the program itself from its one table of options
add_custom_command(OUTPUT ${GENERATED}/noxwash.1 ${GENERATED}/noxwash.bash
                   COMMAND noxwash help --man > ${GENERATED}/noxwash.1
                   COMMAND noxwash help --completion > ${GENERATED}/noxwash.bash
                   DEPENDS noxwash)
add_custom_target(manual ALL DEPENDS ${GENERATED}/noxwash.1 ${GENERATED}/noxwash.bash)

set(HEADERS ${CMAKE_INSTALL_INCLUDEDIR}/noxwash)
add_library(noxwash::noxwash ALIAS noxwash_model)
set_target_properties(noxwash_model PROPERTIES EXPORT_NAME noxwash)
install(TARGETS noxwash RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(TARGETS noxwash_model EXPORT noxwash-targets
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} INCLUDES DESTINATION ${HEADERS})
install(FILES model/noxwash.h ${GENERATED}/parameter_ids.h DESTINATION ${HEADERS})
install(FILES ${GENERATED}/noxwash.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${GENERATED}/noxwash.bash RENAME noxwash
        DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
install(DIRECTORY params/cases DESTINATION ${CMAKE_INSTALL_DOCDIR})
file(GLOB RUNS CONFIGURE_DEPENDS params/still-*)
install(FILES ${RUNS} README.md LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR})

set(PACKAGE ${CMAKE_INSTALL_LIBDIR}/cmake/noxwash)
install(EXPORT noxwash-targets NAMESPACE noxwash:: DESTINATION ${PACKAGE})
configure_package_config_file(cli/packaging/noxwash-config.cmake.in
                              ${CMAKE_BINARY_DIR}/noxwash-config.cmake
                              INSTALL_DESTINATION ${PACKAGE})
write_basic_package_version_file(${CMAKE_BINARY_DIR}/noxwash-config-version.cmake
                                 COMPATIBILITY SameMinorVersion)
install(FILES ${CMAKE_BINARY_DIR}/noxwash-config.cmake
              ${CMAKE_BINARY_DIR}/noxwash-config-version.cmake DESTINATION ${PACKAGE})
# from the folder of noxwash.pc back up to the prefix
file(RELATIVE_PATH NOXWASH_UP ${CMAKE_INSTALL_FULL_LIBDIR}/pkgconfig ${CMAKE_INSTALL_PREFIX})
configure_file(cli/packaging/noxwash.pc.in ${CMAKE_BINARY_DIR}/noxwash.pc @ONLY)
install(FILES ${CMAKE_BINARY_DIR}/noxwash.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "the maintainers of noxwash")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "what a gas-washing bottle makes of brown nitrogen-oxide gas")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON) # needs dpkg-dev
set(CPACK_DEBIAN_PACKAGE_SUGGESTS "gnuplot-nox, libsundials-dev")
include(CPack)
