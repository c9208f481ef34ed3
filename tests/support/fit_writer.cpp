#include "tests/support/fit_writer.h"

#include <algorithm>
#include <cassert>

namespace beatwitness::tests {
namespace {

/// Bit by bit, as the definition of the checksum goes.
std::uint16_t checksum(std::span<const std::uint8_t> bytes) {
    unsigned value = 0;
    for (const std::uint8_t byte : bytes) {
        value ^= byte;
        for (int bit = 0; bit < 8; ++bit)
            value = (value & 1U) != 0 ? (value >> 1U) ^ 0xA001U : value >> 1U;
    }
    return static_cast<std::uint16_t>(value);
}

void appendLittle(std::vector<std::uint8_t>& bytes, std::uint64_t value, std::size_t size) {
    for (std::size_t i = 0; i < size; ++i)
        bytes.push_back(static_cast<std::uint8_t>(value >> (8 * i)));
}

FitValue number(std::uint64_t value, std::size_t size) {
    FitValue result;
    appendLittle(result.littleEndian, value, size);
    return result;
}

}  // namespace

FitValue u8(std::uint8_t value) {
    return number(value, 1);
}
FitValue u16(std::uint16_t value) {
    return number(value, 2);
}
FitValue u32(std::uint32_t value) {
    return number(value, 4);
}

FitValue fitText(std::string_view text, std::size_t size) {
    FitValue value{{text.begin(), text.begin() + std::min(size, text.size())}, false};
    value.littleEndian.resize(size, 0);
    return value;
}

FitValue packed12(std::span<const std::uint32_t> counters) {
    assert(counters.size() % 2 == 0);
    FitValue value{{}, false};
    for (std::size_t i = 0; i < counters.size(); i += 2)
        appendLittle(value.littleEndian, (counters[i] & 0xFFFU) | (counters[i + 1] & 0xFFFU) << 12U, 3);
    return value;
}

FitWriter& FitWriter::define(std::uint8_t localType, std::uint16_t message,
                             std::vector<FitWriterField> fields, bool bigEndian,
                             std::vector<FitWriterField> developerFields) {
    const auto listFields = [this](const std::vector<FitWriterField>& list) {
        data_.push_back(static_cast<std::uint8_t>(list.size()));
        for (const auto& field : list)
            data_.insert(data_.end(), {field.number, field.size, field.baseType});
    };
    bigEndian_.at(localType) = bigEndian;
    data_.push_back(static_cast<std::uint8_t>(0x40U | localType | (developerFields.empty() ? 0U : 0x20U)));
    data_.insert(data_.end(), {std::uint8_t{0}, static_cast<std::uint8_t>(bigEndian)});
    append({u16(message)}, bigEndian);
    listFields(fields);
    if (!developerFields.empty()) listFields(developerFields);
    return *this;
}

FitWriter& FitWriter::data(std::uint8_t localType, const std::vector<FitValue>& values) {
    data_.push_back(localType);
    append(values, bigEndian_.at(localType));
    return *this;
}

FitWriter& FitWriter::compressed(std::uint8_t localType, std::uint8_t offset_s,
                                 const std::vector<FitValue>& values) {
    assert(localType < 4 && offset_s < 32);
    data_.push_back(static_cast<std::uint8_t>(0x80U | localType << 5U | offset_s));
    append(values, bigEndian_.at(localType));
    return *this;
}

FitWriter& FitWriter::raw(std::span<const std::uint8_t> bytes) {
    data_.insert(data_.end(), bytes.begin(), bytes.end());
    return *this;
}

void FitWriter::append(const std::vector<FitValue>& values, bool bigEndian) {
    for (const auto& value : values) {
        const auto& bytes = value.littleEndian;
        if (bigEndian && value.number)
            data_.insert(data_.end(), bytes.rbegin(), bytes.rend());
        else
            data_.insert(data_.end(), bytes.begin(), bytes.end());
    }
}

std::vector<std::byte> FitWriter::bytes(const FitFrame& frame) const {
    std::vector<std::uint8_t> whole{static_cast<std::uint8_t>(frame.headerSize), 0x20};
    appendLittle(whole, 2132, 2);
    appendLittle(whole, frame.dataBytes.value_or(static_cast<std::uint32_t>(data_.size())), 4);
    whole.insert(whole.end(), {'.', 'F', 'I', 'T'});
    if (frame.headerSize >= 14) appendLittle(whole, frame.headerChecksum ? checksum(whole) : 0U, 2);
    whole.insert(whole.end(), data_.begin(), data_.end());
    if (frame.closingChecksum) appendLittle(whole, checksum(whole) ^ frame.checksumError, 2);
    std::vector<std::byte> bytes(whole.size());
    std::ranges::transform(whole, bytes.begin(), [](std::uint8_t value) { return std::byte{value}; });
    return bytes;
}

std::vector<std::byte> fitActivity(std::span<const FitRecord> records, std::string_view product) {
    constexpr std::uint8_t nameSize = 24;
    FitWriter writer;
    writer.define(0, 0, {{0, 1, fit_base::enumeration}, {8, nameSize, fit_base::string}});
    writer.data(0, {u8(4), fitText(product.substr(0, nameSize - 1), nameSize)});
    writer.define(1, 20, {{253, 4, fit_base::uint32}, {3, 1, fit_base::uint8}, {4, 1, fit_base::uint8}});
    for (const auto& record : records)
        writer.data(1, {u32(record.time), u8(record.heartRate_bpm.value_or(0xFF)),
                        u8(record.cadence_per_min.value_or(0xFF))});
    return writer.bytes();
}

}  // namespace beatwitness::tests
