#pragma once

#include <map>
#include <string>
#include <string_view>

#include "core/report/write_up/document.h"

namespace beatwitness::report {

/// A drawn picture by its bytes.
struct DrawnPicture {
    std::string mime;  ///< "image/svg+xml" or "image/png"
    std::string bytes;
};
/// By Picture::name.
using DrawnPictures = std::map<std::string, DrawnPicture>;

/// One HTML 5 file that needs nothing else: pictures and style sheet are inside, there is no script and no
/// address outside. The style sheet prints on A4 and letter: figures and table rows stay whole, headings keep
/// their text. A picture that is not among `pictures` stands as its description.
[[nodiscard]] std::string htmlOf(const WriteUp& document, const DrawnPictures& pictures);

/// `text` with `& < > " '` as entities and what XML cannot hold as "?".
[[nodiscard]] std::string escapedHtml(std::string_view text);

/// RFC 4648.
[[nodiscard]] std::string base64(std::string_view bytes);

}  // namespace beatwitness::report
