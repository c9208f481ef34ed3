#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "core/report/write_up/document.h"

namespace beatwitness::report {

/// The document as CommonMark with pipe tables. `fileOf` says where a picture stands, relative to the
/// document.
[[nodiscard]] std::string markdownOf(const WriteUp& document,
                                     const std::function<std::string(const Picture&)>& fileOf);

/// `text` on one line with what Markdown would read as markup escaped.
[[nodiscard]] std::string escapedMarkdown(std::string_view text);

}  // namespace beatwitness::report
