# The page of every check (docs/checks), the starting files of `new` (starters) and what `completion` prints are embedded when the
# program is built.
file(GLOB driver_texts CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/docs/checks/*.md
     ${CMAKE_CURRENT_SOURCE_DIR}/src/driver/starters/*.yaml
     ${CMAKE_CURRENT_SOURCE_DIR}/src/driver/completions/*.sh)
file(MAKE_DIRECTORY ${generated}/driver)
add_custom_command(OUTPUT ${generated}/driver/embedded.cpp
  COMMAND ${PYTHON3} ${CMAKE_CURRENT_SOURCE_DIR}/src/driver/embed.py ${generated}/driver/embedded.cpp ${PROJECT_VERSION}
          ${driver_texts}
  DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/src/driver/embed.py ${driver_texts}
  COMMENT "Embedding the pages of the checks, the starting files and the completions" VERBATIM)
list(APPEND extra ${generated}/driver/embedded.cpp)
