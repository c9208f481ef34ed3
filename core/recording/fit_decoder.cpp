#include "core/recording/fit_decoder.h"

namespace beatwitness::recording {
namespace {

constexpr std::size_t messagesPerReport = 1U << 15U;

unsigned byteAt(std::span<const std::byte> bytes, std::size_t at) {
    return std::to_integer<unsigned>(bytes[at]);
}

}  // namespace

std::size_t FitDecoder::define(std::size_t at, std::size_t end) {
    constexpr std::size_t fixedBytes = 6;  // header byte, reserved, byte order, number, number of fields
    const bool developer = (byteAt(file_, at) & 0x20U) != 0;
    if (end - at < fixedBytes) return 0;
    const bool bigEndian = byteAt(file_, at + 2) == 1;
    const auto number = fit_detail::load<std::uint16_t>(&file_[at + 3], bigEndian);
    const std::size_t fields = byteAt(file_, at + 5);
    std::size_t size = fixedBytes + 3 * fields + (developer ? 1 : 0);
    if (end - at < size) return 0;

    std::array<FitFieldDefinition, 255> definitions;
    for (std::size_t i = 0; i < fields; ++i) {
        const auto* field = reinterpret_cast<const std::uint8_t*>(&file_[at + fixedBytes + 3 * i]);
        definitions[i] = {field[0], field[1], field[2]};
    }
    std::uint32_t developerBytes = 0;
    if (developer) {
        const std::size_t first = at + size, count = byteAt(file_, first - 1);
        size += 3 * count;
        if (end - at < size) return 0;
        for (std::size_t i = 0; i < count; ++i)
            developerBytes += byteAt(file_, first + 3 * i + 1);
    }
    auto& local = locals_[byteAt(file_, at) & 0x0FU];
    local = {planMessage(number, bigEndian, std::span{definitions}.first(fields), developerBytes), true};
    return size;
}

void FitDecoder::data(const FitPlan& plan, std::size_t at, std::optional<unsigned> offset) {
    const std::byte* const content = file_.data() + at;
    FitMessageView message{plan, content, std::nullopt, file_.size() - at};
    if (const auto stored = plan[fit_slot::timestamp].unsigned32(content))
        message.time = *stored;
    else if (offset && lastTime_)
        message.time = *lastTime_ + ((*offset - *lastTime_) & 0x1FU);
    if (message.time) lastTime_ = *message.time;
    ++dataMessages_;
    sink_.take(message);
}

bool FitDecoder::pauseToReport(std::size_t at) {
    if (untilReport_-- > 0) return true;
    untilReport_ = messagesPerReport;
    if (run_.stopRequested()) return false;
    run_.progress(static_cast<double>(at) / static_cast<double>(file_.size()));
    return true;
}

FitStop FitDecoder::decode(std::size_t begin, std::size_t end) {
    for (std::size_t at = begin; at < end;) {
        if (!pauseToReport(at)) return {FitStop::Reason::Cancelled, at};
        const unsigned header = byteAt(file_, at);
        const bool compressed = (header & 0x80U) != 0;
        if (!compressed && (header & 0x40U) != 0) {
            const std::size_t size = define(at, end);
            if (size == 0) return {FitStop::Reason::CutShort, at};
            at += size;
            continue;
        }
        const unsigned localType = compressed ? (header >> 5U) & 0x03U : header & 0x0FU;
        const auto& local = locals_[localType];
        if (!local.defined) return {FitStop::Reason::Undefined, at, localType};
        if (end - at - 1 < local.plan.size) return {FitStop::Reason::CutShort, at};
        data(local.plan, at + 1, compressed ? std::optional{header & 0x1FU} : std::nullopt);
        at += 1 + local.plan.size;
    }
    return {FitStop::Reason::EndOfData, end};
}

}  // namespace beatwitness::recording
