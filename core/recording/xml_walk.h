#pragma once

#include <cstddef>
#include <optional>
#include <pugixml.hpp>
#include <string>
#include <string_view>

#include "core/foundation/run_control.h"

namespace beatwitness::recording::xml {

/// Small enough for a block and its tree to stay in the processor's cache.
inline constexpr std::size_t usualXmlBlock = std::size_t{256} << 10;

/// The text of a document and where it lies in its file.
struct XmlText {
    std::string_view text;              ///< UTF-8 without byte-order mark
    std::size_t firstByte = 0;          ///< of the text, in the file
    std::size_t bytesPerCharacter = 1;  ///< in the file: 2 for UTF-16, exact while characters are ASCII
};

/// Who is told of the elements of a document, in its order. `byte` is where in the file an element begins.
class XmlSink {
public:
    virtual ~XmlSink() = default;

    /// The start tag of an element, with its attributes; its children follow. False ends the walk.
    [[nodiscard]] virtual bool enter(std::string_view localName, pugi::xml_node element,
                                     std::size_t byte) = 0;
    /// The end of the innermost element that was entered.
    virtual void leave(std::string_view localName) = 0;
    /// An element for which isTakenWhole() (xml_names.h), with all that is in it.
    virtual void take(std::string_view localName, pugi::xml_node element, std::size_t byte) = 0;
};

/// What stopped a walk before the end of the text.
struct XmlDamage {
    std::size_t byte = 0;  ///< in the file
    std::string what;      ///< "an end tag that closes no open element"
};

struct XmlWalk {
    bool cancelled = false;
    bool refused = false;  ///< the sink said so
    std::optional<XmlDamage> damage;
    std::size_t zeroBytes = 0;  ///< NUL bytes, which were read as blanks
    std::size_t firstZeroByte = 0;
};

/// Reads the text block by block, so that memory does not grow with it: each block is parsed in
/// place, wrapped into the start tags of the elements that are open there, and the element that its end cuts
/// is read again with the next one.
///
/// Where the text is damaged or ends early the elements before that place are told of; one that the damage
/// cuts is not. Entities other than those of XML itself are left as written, so none can expand. At most 1000
/// elements may be open, and one element that is taken whole may have at most 64 MiB or some 300,000 parts.
/// Linear time. Memory: about 50 MiB in the worst case, for usual files about 1 MiB.
[[nodiscard]] XmlWalk walkXml(const XmlText& source, XmlSink& sink, const RunControl& run,
                              std::size_t blockSize = usualXmlBlock);

}  // namespace beatwitness::recording::xml
