# The label files become a constant table and an enumeration of their keys. The files are checked here already, so that a
# missing key stops the configuration, and again whenever one of them changes.
file(GLOB label_files CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/src/labels/*.yaml)
set(first_labels ${CMAKE_CURRENT_SOURCE_DIR}/src/labels/en.yaml)
list(REMOVE_ITEM label_files ${first_labels})
list(PREPEND label_files ${first_labels})
file(MAKE_DIRECTORY ${generated}/labels)
add_custom_command(OUTPUT ${generated}/labels/labels.cpp ${generated}/labels/keys.h
  COMMAND ${PYTHON3} ${CMAKE_CURRENT_SOURCE_DIR}/src/labels/make_labels.py ${generated}/labels ${label_files}
  DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/src/labels/make_labels.py ${label_files}
  COMMENT "Making the table of labels" VERBATIM)
list(APPEND extra ${generated}/labels/labels.cpp ${generated}/labels/keys.h)
