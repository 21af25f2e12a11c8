# Writes SOURCE, which holds the file PAGE as a string; PAGE empty: an empty string.
set(text "")
if(PAGE)
  file(READ "${PAGE}" text)
endif()
set(fence "__page__")
string(FIND "${text}" ")${fence}\"" clash)
if(NOT clash EQUAL -1)
  message(FATAL_ERROR "${PAGE} holds )${fence}\", which ends the string it is put into")
endif()
file(WRITE "${SOURCE}" "#include \"page_template.hpp\"

namespace program {

const std::string_view page_template = R\"${fence}(${text})${fence}\";

} // namespace program
")
