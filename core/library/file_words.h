#pragma once

#include <string>
#include <string_view>
#include <vector>

/// The words that the name of a file is made of.
namespace beatwitness::library {

/// "ergometer-5x4_Strap" gives ergometer, 5x4, strap: parts at anything but letters and digits, lower case.
[[nodiscard]] std::vector<std::string> wordsIn(std::string_view text);

/// wordsIn() the name of the file at `path`, without its folders and ending.
[[nodiscard]] std::vector<std::string> fileWords(std::string_view path);

/// A word without a letter: part of a date, a counter.
[[nodiscard]] bool isNumber(std::string_view word);

/// True where every word of `part` is among `words`, and there is one.
[[nodiscard]] bool holdsWords(const std::vector<std::string>& words, const std::vector<std::string>& part);

/// Words with a letter that both have, over the fewer of the two lists' words with a letter; 0 where one has
/// none.
[[nodiscard]] double likeness(const std::vector<std::string>& a, const std::vector<std::string>& b);

/// Likewise of the words without a letter: 1 where the fewer numbers of the two all stand in the other, too.
[[nodiscard]] double numberLikeness(const std::vector<std::string>& a, const std::vector<std::string>& b);

[[nodiscard]] std::string joined(const std::vector<std::string>& words);

}  // namespace beatwitness::library
