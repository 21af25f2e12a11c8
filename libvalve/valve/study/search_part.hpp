#pragma once

#include <valve/study/search.hpp>

#include <string>

namespace valve::study {

/// A part as the text of a file, and back. load() throws InputError as set-ups do, and for a part that cannot
/// be one of `question`.
std::string part_text(const SearchPart& part);
SearchPart load_part(const std::string& path, const SearchQuestion& question);

} // namespace valve::study
