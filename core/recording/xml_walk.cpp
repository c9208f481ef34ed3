#include "core/recording/xml_walk.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstring>
#include <vector>

#include "core/recording/xml_names.h"

namespace beatwitness::recording::xml {
namespace {

constexpr std::size_t longestBlock = std::size_t{64} << 20;
/// What the tree of one block may take, in bytes: well below the 64 MiB that a small file may cost.
constexpr std::size_t largestTree = std::size_t{40} << 20;
constexpr std::size_t deepestPath = 1000;
/// Names are shorter: an error so close to the end of a block may be the cut itself.
constexpr std::ptrdiff_t cutMargin = 1024;
constexpr unsigned parseOptions = pugi::parse_fragment | pugi::parse_embed_pcdata | pugi::parse_trim_pcdata |
                                  pugi::parse_escapes | pugi::parse_cdata;

std::string whatIsWrong(pugi::xml_parse_status status) {
    switch (status) {
        case pugi::status_bad_comment:
            return "a comment that does not end";
        case pugi::status_bad_cdata:
            return "a CDATA section that does not end";
        case pugi::status_bad_pi:
            return "a processing instruction that is not well formed";
        case pugi::status_bad_doctype:
            return "a document type that is not well formed";
        case pugi::status_bad_attribute:
            return "an attribute that is not well formed";
        case pugi::status_bad_start_element:
        case pugi::status_unrecognized_tag:
            return "a start tag that is not well formed";
        case pugi::status_bad_end_element:
        case pugi::status_end_element_mismatch:
        case pugi::status_bad_pcdata:
            return "an end tag that does not close the open element";
        default:
            return "something that could not be read";
    }
}

/// Upper bound of the memory that pugixml takes for the tree of `block`: a node for each start tag, CDATA
/// section and run of text, and what each attribute takes.
std::size_t treeBytes(std::string_view block) {
    std::size_t nodes = 0, attributes = 0;
    for (std::size_t i = 0; i + 1 < block.size(); ++i) {
        const char c = block[i], next = block[i + 1];
        nodes += (c == '<' && next != '<' && next != '/' && next != '?') || (c == '>' && next != '<');
        attributes += c == '=';
    }
    return nodes * 64 + attributes * 40;
}

bool isElement(pugi::xml_node node) {
    return node.type() == pugi::node_element;
}

pugi::xml_node lastElementIn(pugi::xml_node parent) {
    pugi::xml_node child = parent.last_child();
    while (child && !isElement(child))
        child = child.previous_sibling();
    return child;
}

class Walker {
public:
    Walker(const XmlText& source, XmlSink& sink, std::size_t blockSize)
        : source_(source), text_(source.text), sink_(sink), blockSize_(blockSize) {}

    XmlWalk walk(const RunControl& run) {
        std::size_t size = blockSize_;
        while (!isDone_) {
            if (run.stopRequested()) {
                result_.cancelled = true;
                return result_;
            }
            run.progress(static_cast<double>(at_) /
                         static_cast<double>(std::max<std::size_t>(text_.size(), 1)));
            size = readBlock(std::min(size, text_.size() - at_));
        }
        return result_;
    }

private:
    /// Reads up to `size` bytes; returns how many the next block should have.
    std::size_t readBlock(std::size_t size) {
        fill(size);
        const bool isLast = at_ + size == text_.size();
        const auto parsed =
            document_.load_buffer_inplace(block_.data(), block_.size(), parseOptions, pugi::encoding_utf8);
        if (isLast || isDamage(parsed)) {
            finish(parsed);
            return 0;
        }
        const pugi::xml_node cut = elementToReadAgain();
        if (!cut || placeOf(cut) <= at_) return larger(size);
        emitUntil(cut);
        at_ = placeOf(cut);
        return blockSize_;
    }

    void fill(std::size_t size) {
        block_.clear();
        for (const std::string& name : path_) {
            block_.push_back('<');
            block_.insert(block_.end(), name.begin(), name.end());
            block_.push_back('>');
        }
        prefix_ = block_.size();
        wrappers_ = path_.size();
        const char* begin = text_.data() + at_;
        block_.insert(block_.end(), begin, begin + size);
        blankZeros();
    }

    /// The parser would take a NUL for the end.
    void blankZeros() {
        auto zero = std::find(block_.begin() + static_cast<std::ptrdiff_t>(prefix_), block_.end(), '\0');
        for (; zero != block_.end(); zero = std::find(zero, block_.end(), '\0')) {
            const std::size_t byte = at_ + static_cast<std::size_t>(zero - block_.begin()) - prefix_;
            *zero = ' ';
            if (byte < zerosSeen_) continue;
            if (result_.zeroBytes++ == 0) result_.firstZeroByte = inFile(byte);
            zerosSeen_ = byte + 1;
        }
    }

    [[nodiscard]] std::size_t inFile(std::size_t at) const {
        return source_.firstByte + at * source_.bytesPerCharacter;
    }
    [[nodiscard]] std::size_t inText(std::ptrdiff_t offset) const {
        const auto in = static_cast<std::size_t>(std::max<std::ptrdiff_t>(offset, 0));
        return at_ + (in > prefix_ ? in - prefix_ : 0);
    }
    [[nodiscard]] std::size_t placeOf(pugi::xml_node element) const {
        return inText(element.offset_debug() - 1);
    }

    /// True for an error that is not the work of where the block was cut.
    [[nodiscard]] bool isDamage(const pugi::xml_parse_result& parsed) const {
        if (parsed || parsed.status == pugi::status_bad_attribute) return false;
        return parsed.offset + cutMargin < static_cast<std::ptrdiff_t>(block_.size());
    }

    /// The last element of the block that may reach beyond it, whole where it is taken whole; null where that
    /// is one of the wrappers. All elements that enclose it are open at the end of the block.
    [[nodiscard]] pugi::xml_node elementToReadAgain() const {
        pugi::xml_node found;
        for (auto node = lastElementIn(document_); node; node = lastElementIn(node)) {
            found = node;
            if (!isWrapper(node) && isTakenWhole(localName(node.name()))) break;
        }
        return found && !isWrapper(found) ? found : pugi::xml_node{};
    }

    [[nodiscard]] bool isWrapper(pugi::xml_node element) const {
        return element.offset_debug() <= static_cast<std::ptrdiff_t>(prefix_);
    }

    std::size_t larger(std::size_t size) {
        const std::size_t next = std::min(size * 2, text_.size() - at_);
        if (next <= longestBlock && treeBytes(text_.substr(at_, next)) <= largestTree) return next;
        result_.damage = XmlDamage{inFile(at_), "an element that is too long or has too many parts"};
        leaveAll();
        return 0;
    }

    void finish(const pugi::xml_parse_result& parsed) {
        pugi::xml_node cut;
        if (!parsed) {
            // A value that the damage cuts may have lost digits.
            cut = elementToReadAgain();
            if (cut && isClosed(cut, inText(parsed.offset))) cut = {};
        }
        if (!emitUntil(cut)) return;
        if (!parsed) result_.damage = damageOf(parsed);
        leaveAll();
    }

    [[nodiscard]] XmlDamage damageOf(const pugi::xml_parse_result& parsed) const {
        const std::size_t at = inText(parsed.offset);
        if (at + 1 >= text_.size()) return {inFile(text_.size()), "the end of the file amid an element"};
        if (parsed.status == pugi::status_bad_attribute) return {inFile(at), whatIsWrong(parsed.status)};
        // The parser names a place amid the tag.
        const std::size_t tag = text_.rfind('<', at);
        return {inFile(tag == std::string_view::npos ? at : std::max(tag, at_)), whatIsWrong(parsed.status)};
    }

    /// Whether `element` stands before `damage`: with its end tag where it is taken whole, else its start
    /// tag.
    [[nodiscard]] bool isClosed(pugi::xml_node element, std::size_t damage) const {
        const std::size_t begin = placeOf(element);
        const std::size_t end = std::min(damage + 1, text_.size());
        const std::string_view between = text_.substr(begin, std::max(begin, end) - begin);
        if (!isTakenWhole(localName(element.name()))) return between.find('>') != std::string_view::npos;
        return between.find(fmt::format("</{}>", element.name())) != std::string_view::npos;
    }

    /// Tells of the elements of the block up to `stop` (all, where null). False where the walk is over.
    bool emitUntil(pugi::xml_node stop) {
        std::size_t wrappersToPass = wrappers_;
        pugi::xml_node node = document_.first_child();
        while (node) {
            if (stop && node == stop) return true;
            if (wrappersToPass > 0) {
                --wrappersToPass;
            } else if (!tell(node)) {
                node = nextBeside(node);
                continue;
            }
            if (isDone_) return false;
            if (node.first_child()) {
                node = node.first_child();
            } else {
                leaveOne();
                node = nextBeside(node);
            }
        }
        return true;
    }

    /// True where `node` was entered.
    bool tell(pugi::xml_node node) {
        if (!isElement(node)) return false;
        const std::string_view name = localName(node.name());
        if (isTakenWhole(name)) {
            sink_.take(name, node, inFile(placeOf(node)));
            return false;
        }
        path_.emplace_back(node.name());
        if (!sink_.enter(name, node, inFile(placeOf(node)))) {
            result_.refused = true;
            isDone_ = true;
        } else if (path_.size() > deepestPath) {
            result_.damage =
                XmlDamage{inFile(placeOf(node)),
                          fmt::format("more than {} elements one within the other", deepestPath)};
            leaveAll();
        }
        return true;
    }

    pugi::xml_node nextBeside(pugi::xml_node node) {
        while (node && !node.next_sibling()) {
            node = node.parent();
            if (!node || node.type() == pugi::node_document) return {};
            leaveOne();
        }
        return node.next_sibling();
    }

    void leaveOne() {
        sink_.leave(localName(path_.back()));
        path_.pop_back();
    }

    void leaveAll() {
        isDone_ = true;
        while (!path_.empty())
            leaveOne();
    }

    XmlText source_;
    std::string_view text_;
    XmlSink& sink_;
    std::size_t blockSize_;
    XmlWalk result_;
    pugi::xml_document document_;
    std::vector<char> block_;
    std::vector<std::string> path_;  ///< of the open elements, as written
    std::size_t at_ = 0;             ///< where in the text the block begins
    std::size_t prefix_ = 0;         ///< bytes of start tags before it
    std::size_t wrappers_ = 0;
    std::size_t zerosSeen_ = 0;
    bool isDone_ = false;
};

}  // namespace

XmlWalk walkXml(const XmlText& source, XmlSink& sink, const RunControl& run, std::size_t blockSize) {
    return Walker{source, sink, blockSize}.walk(run);
}

}  // namespace beatwitness::recording::xml
