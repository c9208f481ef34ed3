#pragma once

#include <QAbstractListModel>
#include <QStyledItemDelegate>

#include "app/pages/figures/figure_maker.h"

namespace beatwitness::app {

/// The figures of a project in their order, with small pictures. A name can be edited in place.
class FigureListModel : public QAbstractListModel {
    Q_OBJECT

public:
    enum Roles { PictureRole = Qt::UserRole, LookRole, FaultRole };

    /// Both must outlive it.
    FigureListModel(LibraryDocument& library, const FigureMaker& maker, QObject* parent = nullptr);

    void setProject(std::optional<library::ProjectId> project);
    [[nodiscard]] std::optional<library::ProjectId> project() const { return project_; }
    [[nodiscard]] std::optional<library::FigureId> idAt(const QModelIndex& index) const;
    [[nodiscard]] QModelIndex indexOf(library::FigureId figure) const;
    [[nodiscard]] const std::vector<library::FigureId>& ids() const { return ids_; }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role = Qt::EditRole) override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;

private:
    void follow();

    LibraryDocument& library_;
    const FigureMaker& maker_;
    std::optional<library::ProjectId> project_;
    std::vector<library::FigureId> ids_;
};

/// Picture at the left, name and look beside it.
class FigureDelegate : public QStyledItemDelegate {
    Q_OBJECT

public:
    using QStyledItemDelegate::QStyledItemDelegate;

    void paint(QPainter* painter, const QStyleOptionViewItem& option,
               const QModelIndex& index) const override;
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    void updateEditorGeometry(QWidget* editor, const QStyleOptionViewItem& option,
                              const QModelIndex& index) const override;
};

}  // namespace beatwitness::app
