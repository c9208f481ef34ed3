#include "core/report/csv.h"

namespace beatwitness::report {

std::string csvCell(std::string_view text) {
    if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string{text};
    std::string cell = "\"";
    for (const char c : text)
        cell.append(c == '"' ? 2 : 1, c);
    cell.push_back('"');
    return cell;
}

std::string csvLine(const std::vector<std::string>& cells) {
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i)
        line.append(i > 0 ? "," : "").append(csvCell(cells[i]));
    return line.append("\r\n");
}

}  // namespace beatwitness::report
