# Hostile input and failing machines: the program once more with AddressSanitizer and
# UndefinedBehaviorSanitizer, and a library that makes calls of the C library fail.

set(NXW_SANITIZE -O1 -g1 -fno-omit-frame-pointer -fsanitize=address,undefined
                 -fsanitize=float-cast-overflow,float-divide-by-zero -fno-sanitize-recover=all)
add_library(noxwash_checked_all STATIC EXCLUDE_FROM_ALL ${MODEL} ${CLI}
            ${GENERATED}/parameter_ids.h ${GENERATED}/parameter_table.c
            ${GENERATED}/embedded_files.c)
target_compile_options(noxwash_checked_all PUBLIC ${NXW_SANITIZE})
target_link_options(noxwash_checked_all PUBLIC ${NXW_SANITIZE})
target_compile_definitions(noxwash_checked_all PRIVATE NXW_COMMIT="${NOXWASH_COMMIT}" NXW_FAULTS)
target_include_directories(noxwash_checked_all PUBLIC model cli ${GENERATED})
target_link_libraries(noxwash_checked_all PUBLIC SUNDIALS::cvodes SUNDIALS::nvecserial PkgConfig::YAML
                      PkgConfig::JANSSON PkgConfig::SQLITE Threads::Threads m)
# the generated files are the other library's to make
add_dependencies(noxwash_checked_all noxwash_cli)

add_executable(noxwash_checked cli/main.c)
target_link_libraries(noxwash_checked PRIVATE noxwash_checked_all)

add_library(failing_calls MODULE tests/faults/failing_calls.c)
target_link_libraries(failing_calls PRIVATE ${CMAKE_DL_LIBS})

file(GLOB SCRIPTS CONFIGURE_DEPENDS tests/faults/test_*.py)
foreach(script ${SCRIPTS})
  get_filename_component(name ${script} NAME_WE)
  add_test(NAME faults/${name}
           COMMAND /usr/bin/python3 ${script} $<TARGET_FILE:noxwash> $<TARGET_FILE:noxwash_checked>
                   $<TARGET_FILE:failing_calls>)
endforeach()

# the model's own functions, put aside by the test's
target_link_options(test_failing_rates PRIVATE LINKER:--wrap=nxw_train_rates,--wrap=nxw_stage_rates)
