# Copies the sources of the page, and nothing that npm has put beside them: FROM, TO.
file(GLOB entries RELATIVE "${FROM}" "${FROM}/*" "${FROM}/.npmrc")
list(REMOVE_ITEM entries node_modules)
foreach(entry IN LISTS entries)
  file(REMOVE_RECURSE "${TO}/${entry}")
  file(COPY "${FROM}/${entry}" DESTINATION "${TO}")
endforeach()
