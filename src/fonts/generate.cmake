# The embedded faces are made from Debian's fonts when the program is built: nothing generated is kept in the repository.
set(font_folder /usr/share/fonts/truetype CACHE PATH "where noto/ and dejavu/ lie")
set(font_files noto/NotoSans-Regular.ttf noto/NotoSans-Bold.ttf noto/NotoSans-Italic.ttf
               dejavu/DejaVuSans.ttf dejavu/DejaVuSans-Bold.ttf)
list(TRANSFORM font_files PREPEND ${font_folder}/)
foreach(file ${font_files})
  if(NOT EXISTS ${file})
    if(file MATCHES "/noto/")
      message(FATAL_ERROR "benchleaf needs ${file}, from fonts-noto-core: apt-get install fonts-noto-core")
    else()
      message(FATAL_ERROR "benchleaf needs ${file}, from fonts-dejavu-core: apt-get install fonts-dejavu-core")
    endif()
  endif()
endforeach()
execute_process(COMMAND ${PYTHON3} -c "import fontTools.subset" RESULT_VARIABLE no_fonttools OUTPUT_QUIET ERROR_QUIET)
if(no_fonttools)
  message(FATAL_ERROR "benchleaf needs python3-fonttools: apt-get install python3-fonttools")
endif()

set(faces ${generated}/fonts/faces.cpp)
file(MAKE_DIRECTORY ${generated}/fonts)
add_custom_command(OUTPUT ${faces}
  COMMAND ${PYTHON3} ${CMAKE_CURRENT_LIST_DIR}/make_fonts.py ${faces} ${font_folder}
  DEPENDS ${CMAKE_CURRENT_LIST_DIR}/make_fonts.py ${font_files}
  COMMENT "Making the embedded fonts" VERBATIM)
list(APPEND extra ${faces})
# A face is one string literal, longer than the least that a compiler must take.
set_source_files_properties(${faces} PROPERTIES COMPILE_OPTIONS -Wno-overlength-strings)
