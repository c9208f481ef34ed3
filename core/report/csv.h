#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace beatwitness::report {

/// A cell as RFC 4180 wants it: quoted where it holds a comma, a quotation mark or a line break.
[[nodiscard]] std::string csvCell(std::string_view text);
/// Cells with commas between and CR LF behind.
[[nodiscard]] std::string csvLine(const std::vector<std::string>& cells);

}  // namespace beatwitness::report
