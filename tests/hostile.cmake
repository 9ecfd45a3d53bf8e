# Failing machines: the program once more with sanitizers, and a library that makes calls of the C
# library fail. Hostile input: tests/fuzz/fuzz.cmake.

include(tests/fuzz/fuzz.cmake)

add_executable(noxwash_checked ${PROGRAM})
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

add_executable(campaign_random tests/campaign_random.c)
target_include_directories(campaign_random PRIVATE tests)
target_link_libraries(campaign_random PRIVATE noxwash_model m)
