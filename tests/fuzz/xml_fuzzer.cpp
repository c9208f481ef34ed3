#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "core/recording/xml_recording.h"
#include "core/recording/xml_walk.h"
#include "tests/fuzz/sound_recording.h"

namespace {

using namespace beatwitness;

/// Writes down what it is told of.
class EventLog final : public recording::xml::XmlSink {
public:
    bool enter(std::string_view name, pugi::xml_node element, std::size_t byte) override {
        told += "+" + std::string{name} + element.first_attribute().value() + std::to_string(byte);
        return true;
    }
    void leave(std::string_view name) override { told += "-" + std::string{name}; }
    void take(std::string_view name, pugi::xml_node element, std::size_t byte) override {
        told += "=" + std::string{name} + std::to_string(byte) + element.first_child().child_value();
    }

    std::string told;
};

/// Where the blocks are cut must not show.
void trapUnlessBlocksAgree(std::string_view text) {
    EventLog whole, cut;
    const auto one = recording::xml::walkXml({text}, whole, {});
    const auto many = recording::xml::walkXml({text}, cut, {}, 40);
    if (one.damage.has_value() != many.damage.has_value()) __builtin_trap();
    if (whole.told != cut.told) __builtin_trap();
    if (!one.damage && one.zeroBytes != many.zeroBytes) __builtin_trap();
}

}  // namespace

// libFuzzer. Whatever the bytes are, the reader of TCX and GPX returns, and reads the same in blocks.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto bytes = std::as_bytes(std::span{data, size});
    tests::trapUnlessSound(recording::readXml(bytes));
    trapUnlessBlocksAgree({reinterpret_cast<const char*>(data), size});
    return 0;
}
