#pragma once

#include <QAbstractItemModel>
#include <memory>
#include <vector>

#include "app/document/import_board.h"

namespace beatwitness::app {

/// An import as a tree: sessions with their wearings, then recordings in no session, what was skipped and
/// what could not be read. Shows a board; every correction is a new one, kept for undo.
class ImportModel : public QAbstractItemModel {
    Q_OBJECT

public:
    enum Column { What, Role, Device, Unit, Firmware, Position, When, Samples, State, columns };
    enum class Group { Session, NoSession, Skipped, Unread };

    using QAbstractItemModel::QAbstractItemModel;

    /// Begins anew: corrections before are forgotten.
    void setImport(std::shared_ptr<const ImportSource> source, ImportBoard board);
    /// The same import with other files behind it; corrections stay.
    void setSource(std::shared_ptr<const ImportSource> source, ImportBoard board);

    [[nodiscard]] const std::shared_ptr<const ImportSource>& source() const { return source_; }
    [[nodiscard]] const ImportBoard& board() const { return board_; }
    [[nodiscard]] bool wasCorrected() const { return !before_.empty(); }

    /// Puts a corrected board in force; undoable. The shape of the tree may change.
    void correct(ImportBoard board);
    void undo();
    void redo();
    [[nodiscard]] bool canUndo() const { return !before_.empty(); }
    [[nodiscard]] bool canRedo() const { return !after_.empty(); }

    [[nodiscard]] Group groupOf(const QModelIndex& index) const;
    /// Nothing for group headings, skipped and unread files.
    [[nodiscard]] std::optional<BoardPlace> placeOf(const QModelIndex& index) const;
    [[nodiscard]] QModelIndex indexOf(const BoardPlace& place, int column = What) const;
    /// Index into ImportSource::files of the (first) file in the row.
    [[nodiscard]] std::optional<std::size_t> fileOf(const QModelIndex& index) const;
    /// Index into ImportSource::unread.
    [[nodiscard]] std::optional<std::size_t> unreadOf(const QModelIndex& index) const;
    /// Labels to choose from in a cell: known ones and those of this import; empty where it is free text.
    [[nodiscard]] QStringList choices(const QModelIndex& index) const;

    [[nodiscard]] QModelIndex index(int row, int column, const QModelIndex& parent = {}) const override;
    [[nodiscard]] QModelIndex parent(const QModelIndex& child) const override;
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;

signals:
    /// The board is another one now.
    void corrected();

private:
    void replace(std::shared_ptr<const ImportSource> source, ImportBoard board);
    void put(ImportBoard board);
    [[nodiscard]] bool hasShapeOf(const ImportBoard& board) const;
    void listSkipped();
    [[nodiscard]] QString sessionText(const BoardSession& session, int column) const;
    [[nodiscard]] QString wearingText(const BoardWearing& wearing, int column) const;
    [[nodiscard]] QString groupText(Group group, int column) const;
    [[nodiscard]] QString fileText(const QModelIndex& index, int column) const;
    [[nodiscard]] QString textOf(const QModelIndex& index) const;
    [[nodiscard]] QString reasonOf(const QModelIndex& index) const;
    [[nodiscard]] bool isLeftOut(const QModelIndex& index) const;
    [[nodiscard]] QStringList knownUnits(const std::string& device,
                                         std::string library::WearingFacts::*fact) const;

    std::shared_ptr<const ImportSource> source_ = std::make_shared<const ImportSource>();
    ImportBoard board_;
    std::vector<ImportBoard> before_, after_;
    std::vector<Group> groups_;         ///< behind the sessions
    std::vector<std::size_t> skipped_;  ///< files
};

/// "reference", "test", "context".
[[nodiscard]] QString roleWord(library::Role role);
/// "Mon 3 Mar 2031, 06:42 · 48 min"; a length alone without a date.
[[nodiscard]] QString whenWords(const Span<RecordingClock>& span, recording::ClockBasis clock);

}  // namespace beatwitness::app
