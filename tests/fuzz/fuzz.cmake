# The model and the program's readers with AddressSanitizer and UndefinedBehaviorSanitizer, and the fuzz
# targets: for libFuzzer with NOXWASH_FUZZ, else as programs that replay the inputs kept here.

if(NOXWASH_FUZZ)
  set(NXW_FUZZER -fsanitize=fuzzer-no-link)
endif()
set(NXW_SANITIZE -O1 -g1 -fno-omit-frame-pointer -fsanitize=address,undefined
                 -fsanitize=float-cast-overflow,float-divide-by-zero -fno-sanitize-recover=all
                 ${NXW_FUZZER})
# two resistances in series, one of them without end: the model counts with infinity on purpose, and
# looks at every rate before it is used
set_source_files_properties(${MODEL} PROPERTIES COMPILE_OPTIONS -fno-sanitize=float-divide-by-zero)
add_library(noxwash_checked_all STATIC EXCLUDE_FROM_ALL ${MODEL} ${CLI}
            ${GENERATED}/parameter_ids.h ${GENERATED}/parameter_table.c
            ${GENERATED}/embedded_files.c)
target_compile_options(noxwash_checked_all PUBLIC ${NXW_SANITIZE})
target_link_options(noxwash_checked_all PUBLIC ${NXW_SANITIZE})
target_compile_definitions(noxwash_checked_all PRIVATE NXW_COMMIT="${NOXWASH_COMMIT}")
target_include_directories(noxwash_checked_all PUBLIC model cli ${GENERATED})
target_link_libraries(noxwash_checked_all PUBLIC SUNDIALS::cvodes SUNDIALS::nvecserial PkgConfig::YAML
                      PkgConfig::JANSSON PkgConfig::SQLITE Threads::Threads m)
# the generated files are the other library's to make
add_dependencies(noxwash_checked_all noxwash_cli)

file(GLOB TARGETS CONFIGURE_DEPENDS tests/fuzz/fuzz_*.c)
list(FILTER TARGETS EXCLUDE REGEX "/fuzz_text\\.c$")
foreach(source ${TARGETS})
  get_filename_component(name ${source} NAME_WE)
  string(REPLACE fuzz_ "" what ${name})
  if(NOXWASH_FUZZ)
    add_executable(${name} ${source} tests/fuzz/fuzz_text.c)
    target_link_options(${name} PRIVATE -fsanitize=fuzzer)
  else()
    add_executable(${name} ${source} tests/fuzz/fuzz_text.c tests/fuzz/replay.c)
    set(corpora ${CMAKE_SOURCE_DIR}/tests/fuzz/corpus/${what} ${CMAKE_SOURCE_DIR}/tests/fuzz/words.dict)
    if(what MATCHES "case|run|table")
      list(APPEND corpora ${CMAKE_SOURCE_DIR}/tests/bad ${CMAKE_SOURCE_DIR}/params/cases
                          ${CMAKE_SOURCE_DIR}/params)
    endif()
    add_test(NAME fuzz/${what} COMMAND ${name} ${corpora})
  endif()
  target_include_directories(${name} PRIVATE tests tests/fuzz)
  target_link_libraries(${name} PRIVATE noxwash_checked_all)
endforeach()
