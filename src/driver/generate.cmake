# The page of every check (docs/checks) and the starting files of `new` (starters) are embedded when the program is built.
file(GLOB driver_texts CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/docs/checks/*.md
     ${CMAKE_CURRENT_SOURCE_DIR}/src/driver/starters/*.yaml)
file(MAKE_DIRECTORY ${generated}/driver)
add_custom_command(OUTPUT ${generated}/driver/embedded.cpp
  COMMAND ${PYTHON3} ${CMAKE_CURRENT_SOURCE_DIR}/src/driver/embed.py ${generated}/driver/embedded.cpp ${PROJECT_VERSION}
          ${driver_texts}
  DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/src/driver/embed.py ${driver_texts}
  COMMENT "Embedding the pages of the checks and the starting files" VERBATIM)
list(APPEND extra ${generated}/driver/embedded.cpp)
